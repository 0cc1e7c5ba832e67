import type { PlannedChannel, PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { matchChannels } from '../../ingest/plan/matchChannels.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import { unchangedChannels } from '../../ingest/plan/unchangedChannels.ts';
import { median } from '../../ingest/signal/median.ts';
import type { BaselineRow } from '../../ingest/store/schema.ts';
import { levelWindow } from '../limits/levelWindow.ts';
import type { LimitSet } from '../limits/limitSet.ts';
import { marginLimits } from '../limits/marginLimits.ts';
import { qualityFloor } from '../limits/qualityFloor.ts';
import { buildFrame, type Carrier } from '../trend/frame.ts';
import type { MetricLimits, Reference } from '../trend/types.ts';
import type { ComparedAt, PointContext } from './pointContext.ts';

const SAME_CARRIER_MHZ = 0.05;

/** Frame and reference for a sweep of grid `gridId` at `atMs`, made once for as long as baseline and plan stay. */
export function compareAt(
  point: PointContext,
  gridId: number,
  freqMhz: readonly number[],
  atMs: number,
): ComparedAt {
  const baseline = baselineAt(point.baselines, atMs);
  const plan = planInForce(point.planVersions, atMs);
  const key = `${gridId} ${baseline?.version ?? 0} ${plan?.version ?? 0}`;
  let compared = point.compared.get(key);
  if (!compared) {
    compared = compare(point, baseline, plan, freqMhz, atMs);
    point.compared.set(key, compared);
  }
  return compared;
}

function baselineAt(baselines: readonly BaselineRow[], atMs: number): BaselineRow | null {
  let found: BaselineRow | null = null;
  for (const row of baselines) {
    if (row.effective_from.getTime() <= atMs && (found === null || row.version > found.version)) found = row;
  }
  return found;
}

function compare(
  point: PointContext,
  baseline: BaselineRow | null,
  plan: PlanVersion | null,
  freqMhz: readonly number[],
  atMs: number,
): ComparedAt {
  const matched = plan === null ? null : matchChannels(freqMhz, plan).channels;
  const comparable = comparableChannels(point.planVersions, baseline, plan, atMs);
  const carriers = freqMhz.map((mhz, i) =>
    carrierAt(
      mhz,
      matched === null ? null : (matched[i] ?? null),
      plan,
      baseline,
      comparable,
      point.limitSet,
    ),
  );
  const band = baseline === null ? freqMhz : baseline.freq_hz.map((hz) => hz / 1e6);
  const frame = buildFrame({
    carriers,
    band: { lowMhz: band[0] ?? 0, highMhz: band[band.length - 1] ?? 0 },
    line: baseline && { levelDbmv: baseline.level_dbmv, tiltDb: baseline.tilt_db },
    channelAt: (mhz) => channelAt(mhz, plan),
  });
  return { frame, reference: baseline && referenceFrom(baseline, carriers, point.limitSet, matched) };
}

/** Names of the channels that baseline and plan in force define alike; null when all may be compared. */
function comparableChannels(
  versions: readonly PlanVersion[],
  baseline: BaselineRow | null,
  plan: PlanVersion | null,
  atMs: number,
): ReadonlySet<string> | null {
  if (baseline === null || plan === null) return null;
  const thenMs = baseline.to_at.getTime();
  if (planInForce(versions, thenMs) === null) return null;
  return new Set(unchangedChannels(versions, thenMs, atMs).map(({ channel }) => channel));
}

function carrierAt(
  freqMhz: number,
  planned: PlannedChannel | null,
  plan: PlanVersion | null,
  baseline: BaselineRow | null,
  comparable: ReadonlySet<string> | null,
  limitSet: LimitSet,
): Carrier {
  const channel = planned?.channel ?? (plan === null ? `${freqMhz} MHz` : null);
  const isCompared = channel !== null && (comparable === null || comparable.has(channel));
  const index = baseline === null || !isCompared ? -1 : carrierIndex(baseline.freq_hz, freqMhz);
  const floor = qualityFloor(limitSet, planned?.modulation ?? null);
  return {
    freqMhz,
    channel,
    group: planned?.modulation ?? 'outside the plan',
    thenLevelDbmv: hundredths(baseline?.level_cdbmv[index]),
    thenMerDb: hundredths(baseline?.mer_cdb?.[index]),
    thenCnrDb: hundredths(baseline?.cnr_cdb?.[index]),
    merLimitDb: floor?.quantity === 'mer' ? floor.min : null,
    cnrLimitDb: floor?.quantity === 'cnr' ? floor.min : null,
  };
}

function carrierIndex(freqHz: readonly number[], freqMhz: number): number {
  return freqHz.findIndex((hz) => Math.abs(hz / 1e6 - freqMhz) <= SAME_CARRIER_MHZ + 1e-6);
}

function channelAt(freqMhz: number, plan: PlanVersion | null): string | null {
  if (plan === null) return `${freqMhz} MHz`;
  return matchChannels([freqMhz], plan).channels[0]?.channel ?? null;
}

function referenceFrom(
  baseline: BaselineRow,
  carriers: readonly Carrier[],
  limitSet: LimitSet,
  matched: readonly (PlannedChannel | null)[] | null,
): Reference {
  const limits = marginLimits(limitSet, null).filter(({ metric }) => metric !== 'level');
  return {
    baselineVersion: baseline.version,
    levelDbmv: baseline.level_dbmv,
    tiltDb: baseline.tilt_db,
    flatnessDb: baseline.flatness_db,
    merMarginDb: worstMargin(carriers),
    ambientC: baseline.ambient_c,
    levelSpreadDb: hundredths(median(baseline.level_spread_cdb)),
    merSpreadDb: hundredths(baseline.mer_spread_cdb && median(baseline.mer_spread_cdb)),
    instruments: baseline.instruments,
    madeUntilMs: baseline.to_at.getTime(),
    limits: [...limits, ...tightestLevels(baseline, carriers, limitSet, matched)],
  };
}

/** Of the channel nearest to its limit by its own median, dB: the least of single readings would be nearer by their noise. */
function worstMargin(carriers: readonly Carrier[]): number | null {
  const margins = carriers.flatMap(({ thenMerDb, merLimitDb, thenCnrDb, cnrLimitDb }) => {
    if (thenMerDb !== null && merLimitDb !== null) return [thenMerDb - merLimitDb];
    return thenCnrDb !== null && cnrLimitDb !== null ? [thenCnrDb - cnrLimitDb] : [];
  });
  return margins.length === 0 ? null : Math.min(...margins);
}

/**
 * Where mid-band level may fall and rise to before the first channel leaves its own window, each named after that channel:
 * its limit less its baseline. A channel that the baseline already has outside is an accepted exception and doesn't count.
 */
function tightestLevels(
  baseline: BaselineRow,
  carriers: readonly Carrier[],
  limitSet: LimitSet,
  matched: readonly (PlannedChannel | null)[] | null,
): MetricLimits[] {
  let fall: { byDb: number; name: string } | null = null;
  let rise: { byDb: number; name: string } | null = null;
  carriers.forEach(({ thenLevelDbmv, channel }, i) => {
    if (thenLevelDbmv === null) return;
    const { min, max } = levelWindow(limitSet, matched?.[i]?.modulation ?? null);
    const downDb = min === null ? Number.POSITIVE_INFINITY : thenLevelDbmv - min;
    const upDb = max === null ? Number.POSITIVE_INFINITY : max - thenLevelDbmv;
    if (downDb >= 0 && downDb < (fall?.byDb ?? Number.POSITIVE_INFINITY)) {
      fall = { byDb: downDb, name: `level of channel ${channel} at least ${min} dBmV` };
    }
    if (upDb >= 0 && upDb < (rise?.byDb ?? Number.POSITIVE_INFINITY)) {
      rise = { byDb: upDb, name: `level of channel ${channel} at most ${max} dBmV` };
    }
  });
  return [
    ...levelLimit(fall, ({ byDb }) => ({ min: baseline.level_dbmv - byDb, max: null })),
    ...levelLimit(rise, ({ byDb }) => ({ min: null, max: baseline.level_dbmv + byDb })),
  ];
}

function levelLimit(
  nearest: { readonly byDb: number; readonly name: string } | null,
  window: (nearest: { readonly byDb: number }) => Pick<MetricLimits, 'min' | 'max'>,
): MetricLimits[] {
  return nearest === null ? [] : [{ name: nearest.name, metric: 'level', ...window(nearest) }];
}

function hundredths(value: number | null | undefined): number | null {
  return value == null ? null : value / 100;
}
