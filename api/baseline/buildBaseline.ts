import type { PlannedChannel, PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { median } from '../../ingest/signal/median.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import type { LimitSet } from '../limits/limitSet.ts';
import type { BreachView } from '../schemas/common.ts';
import { carriersOf, readCarriers } from './readCarriers.ts';
import { type CarrierMedians, windowMedians } from './windowMedians.ts';

/** One carrier of a proposed baseline with the channel that it is; null is "outside the plan". */
export interface BaselineCarrier extends CarrierMedians {
  readonly planned: PlannedChannel | null;
}

/** A reference that a person may accept. */
export interface BaselineDraft {
  readonly sweeps: number;
  readonly instruments: readonly string[];
  /** In rising frequency. */
  readonly carriers: readonly BaselineCarrier[];
  readonly levelDbmv: number;
  readonly tiltDb: number;
  readonly flatnessDb: number;
  readonly worstMerMarginDb: number | null;
  readonly ambientC: number | null;
  /** What misses the point's limits, and planned channels that were looked for and not found. */
  readonly outside: readonly BreachView[];
  /** RF channels of the plan that no sweep looked for. */
  readonly notLookedFor: readonly string[];
}

/**
 * The reference that a window of sweeps makes: medians by channel, a line through them for level and tilt (at mid
 * band and across the band of the carriers), peak to valley about it, the worst MER or CNR margin, and everything
 * that lies outside the limits.
 *
 * @param plan null when the site has none: then all carriers make the line
 * @returns null when the channels measured are too few for a line
 */
export function buildBaseline(
  sweeps: readonly Sweep[],
  plan: PlanVersion | null,
  limitSet: LimitSet,
): BaselineDraft | null {
  const medians = windowMedians(sweeps);
  const reading = readCarriers(medians, plan, limitSet);
  if (reading.line === null || reading.flatnessDb === null) return null;

  const carriers = medians.map((carrier, i) => ({ ...carrier, planned: reading.carriers[i]!.planned }));
  const ambient = sweeps.map((sweep) => sweep.ambientC).filter((value) => value !== null);
  return {
    sweeps: sweeps.length,
    instruments: [...new Set(sweeps.map((sweep) => sweep.instrument))].sort(),
    carriers,
    levelDbmv: reading.line.levelDbmv,
    tiltDb: reading.line.tiltDb,
    flatnessDb: reading.flatnessDb,
    worstMerMarginDb: usualWorstMargin(sweeps, plan, limitSet),
    ambientC: ambient.length === 0 ? null : ambient.reduce((a, b) => a + b, 0) / ambient.length,
    outside: [...notFound(carriers, plan), ...reading.breaches],
    notLookedFor: reading.notLookedFor,
  };
}

/**
 * The median of each sweep's own worst margin: the worst of many noisy readings lies lower than the worst of their
 * medians, and later sweeps are held against this one by one.
 */
function usualWorstMargin(
  sweeps: readonly Sweep[],
  plan: PlanVersion | null,
  limitSet: LimitSet,
): number | null {
  return median(
    sweeps.map((sweep) => readCarriers(carriersOf(sweep), plan, limitSet).worst?.marginDb ?? null),
  );
}

/** A planned channel that is mostly not there is no reference for anything. */
function notFound(carriers: readonly BaselineCarrier[], plan: PlanVersion | null): BreachView[] {
  return carriers
    .filter((carrier) => carrier.planned !== null && carrier.levelDbmv === null && carrier.lost > 0)
    .map((carrier) => ({
      quantity: 'presence',
      channel: carrier.planned!.channel,
      freqMhz: carrier.freqMhz,
      value: Math.round((100 * (carrier.looked - carrier.lost)) / carrier.looked),
      limit: 'found in more than 50 % of sweeps',
      unit: '%',
      source: `channel plan, version ${plan!.version}`,
      effect: 'service',
    }));
}
