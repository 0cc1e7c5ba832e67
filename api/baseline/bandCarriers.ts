import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { matchChannels } from '../../ingest/plan/matchChannels.ts';
import { median } from '../../ingest/signal/median.ts';
import type { BaselineRow } from '../../ingest/store/schema.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { LOST_BELOW_DB } from '../trend/observe.ts';
import { type CarrierValues, carriersOf } from './readCarriers.ts';

/** One carrier now (the values) and at the baseline (`then…`). */
export interface BandCarrier extends CarrierValues {
  readonly thenLevelDbmv: number | null;
  readonly thenSpreadDb: number | null;
  readonly thenMerDb: number | null;
  /** Looked for now and not found, or far below where its neighbours are. */
  readonly lost: boolean;
}

const NOTHING_NOW = { levelDbmv: null, merDb: null, cnrDb: null, lost: false };
const NOTHING_THEN = { thenLevelDbmv: null, thenSpreadDb: null, thenMerDb: null };

/**
 * Sweep and baseline side by side, in rising frequency. The two meet where they are the same channel of the plan,
 * whichever of its carriers was tuned, and otherwise at the same frequency.
 *
 * @param comparable whether a channel is the same one at both times; null is outside the plan
 */
export function bandCarriers(
  sweep: Sweep | null,
  baseline: BaselineRow | null,
  plan: PlanVersion | null,
  comparable: (channel: string | null) => boolean,
): BandCarrier[] {
  const then = thenCarriers(baseline);
  const nameThen = namer(
    then.map(({ freqMhz }) => freqMhz),
    plan,
  );
  const thenByKey = new Map(
    then.map((carrier, i) => [nameThen(i).key, { ...carrier, comparable: comparable(nameThen(i).channel) }]),
  );

  const now = nowCarriers(sweep);
  const nameNow = namer(
    now.map(({ freqMhz }) => freqMhz),
    plan,
  );
  const carriers = now.map((carrier, i): BandCarrier => {
    const { key } = nameNow(i);
    const was = thenByKey.get(key);
    thenByKey.delete(key);
    return { ...carrier, ...(was?.comparable ? valuesOf(was) : NOTHING_THEN) };
  });
  for (const was of thenByKey.values()) {
    if (was.comparable) carriers.push({ freqMhz: was.freqMhz, ...NOTHING_NOW, ...valuesOf(was) });
  }
  return markFallen(carriers.sort((a, b) => a.freqMhz - b.freqMhz));
}

interface ThenCarrier {
  readonly freqMhz: number;
  readonly thenLevelDbmv: number | null;
  readonly thenSpreadDb: number | null;
  readonly thenMerDb: number | null;
}

function thenCarriers(baseline: BaselineRow | null): ThenCarrier[] {
  if (baseline === null) return [];
  return baseline.freq_hz.map((hz, i) => ({
    freqMhz: hz / 1e6,
    thenLevelDbmv: fromHundredths(baseline.level_cdbmv[i]),
    thenSpreadDb: fromHundredths(baseline.level_spread_cdb[i]),
    thenMerDb: fromHundredths(baseline.mer_cdb?.[i]),
  }));
}

function valuesOf({ thenLevelDbmv, thenSpreadDb, thenMerDb }: ThenCarrier): typeof NOTHING_THEN | ThenValues {
  return { thenLevelDbmv, thenSpreadDb, thenMerDb };
}

type ThenValues = Omit<ThenCarrier, 'freqMhz'>;

function nowCarriers(sweep: Sweep | null): (CarrierValues & { readonly lost: boolean })[] {
  if (sweep === null) return [];
  const found = carriersOf(sweep).map((carrier) => ({ ...carrier, lost: false }));
  const lost = sweep.lostMhz.map((freqMhz) => ({ ...NOTHING_NOW, freqMhz, lost: true }));
  return [...found, ...lost].sort((a, b) => a.freqMhz - b.freqMhz);
}

/** What makes two carriers the same one: the planned channel, or the frequency; a block holds many carriers. */
function namer(
  freqMhz: readonly number[],
  plan: PlanVersion | null,
): (index: number) => { key: string; channel: string | null } {
  const channels = plan === null ? [] : matchChannels(freqMhz, plan).channels;
  return (index) => {
    const planned = channels[index] ?? null;
    const byChannel = planned !== null && planned.modulation !== 'ofdm';
    return {
      key: byChannel ? `channel ${planned.channel}` : `${Math.round(freqMhz[index]! * 1e6)} Hz`,
      channel: planned?.channel ?? null,
    };
  };
}

/** A carrier that fell far more than the rest is lost, whatever the meter still reads there. */
function markFallen(carriers: readonly BandCarrier[]): BandCarrier[] {
  const deviations = carriers.map(({ levelDbmv, thenLevelDbmv }) =>
    levelDbmv === null || thenLevelDbmv === null ? null : levelDbmv - thenLevelDbmv,
  );
  const usual = median(deviations) ?? 0;
  return carriers.map((carrier, i) => {
    const deviation = deviations[i];
    return deviation != null && deviation - usual <= -LOST_BELOW_DB ? { ...carrier, lost: true } : carrier;
  });
}

function fromHundredths(value: number | null | undefined): number | null {
  return value == null ? null : value / 100;
}
