import { planFromRaster } from '../../ingest/plan/planFromRaster.ts';
import { normalNoise } from '../api/trend/noise.ts';

export const HOUR_MS = 3_600_000;
export const STEP_DB = -3;

/** Every channel of the STD raster from 54 to 552 MHz. */
export const FREQ_MHZ = planFromRaster('STD', { fromMhz: 54, toMhz: 552 }, { modulation: 'qam256' }).map(
  ({ centreMhz }) => centreMhz,
);

/** A carrier that no plan speaks of. */
const STRAY_MHZ = 561;
/** RF 78 comes in weak at the handoff from the first day on. */
export const WEAK_MHZ = 549;

interface Stage {
  readonly point: string;
  readonly levelDbmv: number;
  /** From the low end of the band to the high end, dB. */
  readonly tiltDb: number;
  readonly merDb: number;
  readonly behindTheStep: boolean;
}

const STAGES: readonly Stage[] = [
  { point: 'handoff', levelDbmv: 20, tiltDb: 0.5, merDb: 40, behindTheStep: false },
  { point: 'amp-5', levelDbmv: 12, tiltDb: -4, merDb: 39, behindTheStep: true },
  { point: 'room-512', levelDbmv: 3, tiltDb: -6, merDb: 38, behindTheStep: true },
];

/**
 * Hourly sweeps at three points of one building, as a box posts them: from the first moment up to, but not at, the
 * second. From `stepAtMs` on all channels lie 3 dB lower at the amplifier and below it.
 */
export function buildingSweeps(fromMs: number, toMs: number, stepAtMs: number): unknown[] {
  const sweeps: unknown[] = [];
  for (let atMs = fromMs; atMs < toMs; atMs += HOUR_MS) {
    const normal = normalNoise(atMs / HOUR_MS);
    const feedDb = 0.1 * normal();
    for (const stage of STAGES) {
      const stepDb = stage.behindTheStep && atMs >= stepAtMs ? STEP_DB : 0;
      const freqMhz = [...FREQ_MHZ, STRAY_MHZ];
      sweeps.push({
        point: stage.point,
        at: new Date(atMs).toISOString(),
        instrument: 'probe-7',
        ambient_c: 21,
        freq_mhz: freqMhz,
        level_dbmv: freqMhz.map((mhz) =>
          hundredth(levelDbmv(stage, mhz) + feedDb + stepDb + 0.15 * normal()),
        ),
        mer_db: freqMhz.map(() => hundredth(stage.merDb + 0.2 * normal())),
      });
    }
  }
  return sweeps;
}

function levelDbmv({ levelDbmv, tiltDb }: Stage, mhz: number): number {
  return levelDbmv + tiltDb * ((mhz - 303) / 498) - (mhz === WEAK_MHZ ? 4 : 0);
}

function hundredth(value: number): number {
  return Math.round(value * 100) / 100;
}
