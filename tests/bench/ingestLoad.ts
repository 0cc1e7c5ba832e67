import { planFromRaster } from '../../ingest/plan/planFromRaster.ts';

export const CARRIERS = 135;
export const POINTS = ['handoff', 'hub', 'riser', 'outlet'] as const;
export const START_MS = Date.UTC(2026, 0, 5);
const INTERVAL_MS = 15 * 60_000;
/** A day for the baseline, before the sweeps that are timed. */
export const BASELINE_SWEEPS = 96;

/** The channels of the load: 135 of the STD raster. */
export const channels = planFromRaster('STD', { fromMhz: 54, toMhz: 1002 }, { modulation: 'qam256' }).slice(
  0,
  CARRIERS,
);
const freqMhz = channels.map((channel) => channel.centreMhz);

/** The n-th sweep of one point in the contract's form: a flat feed with meter noise, the same at every call. */
export function loadSweep(site: number, point: number, n: number): Record<string, unknown> {
  const random = mulberry32(site * 1e6 + point * 1e5 + n);
  const noise = () => (random() + random() + random() - 1.5) * 0.4;
  return {
    point: POINTS[point],
    at: new Date(START_MS + n * INTERVAL_MS).toISOString(),
    instrument: 'probe-1',
    ambient_c: Math.round((20 + 5 * Math.sin((n / 96) * 2 * Math.PI)) * 10) / 10,
    freq_mhz: freqMhz,
    level_dbmv: freqMhz.map((mhz) => tenths(20 - 6 * point - (mhz / 1000) * point + noise())),
    mer_db: freqMhz.map(() => tenths(39 - point + noise())),
  };
}

function tenths(value: number): number {
  return Math.round(value * 10) / 10;
}

/** Small seeded generator, public domain: Tommy Ettinger's mulberry32. */
function mulberry32(seed: number): () => number {
  let a = seed | 0;
  return () => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
