import type { PlannedChannel, PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { matchChannels } from '../../ingest/plan/matchChannels.ts';
import { flatnessDb } from '../../ingest/signal/flatnessDb.ts';
import { type LineFit, robustLine } from '../../ingest/signal/robustLine.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { judge, type ReadingChannel } from '../limits/judge.ts';
import type { LimitSet } from '../limits/limitSet.ts';
import { qualityFloor } from '../limits/qualityFloor.ts';
import type { BreachView } from '../schemas/common.ts';

/** What was measured at one frequency; null is "not measured". */
export interface CarrierValues {
  readonly freqMhz: number;
  readonly levelDbmv: number | null;
  readonly merDb: number | null;
  readonly cnrDb: number | null;
}

export interface CarrierReading extends ReadingChannel {
  /** Null for a carrier outside the plan. */
  readonly planned: PlannedChannel | null;
  /** MER or CNR less what the channel needs, dB. */
  readonly marginDb: number | null;
}

/** Carriers held against channel plan and limits. */
export interface BandReading {
  /** Parallel to the carriers given. */
  readonly carriers: readonly CarrierReading[];
  /** Null when too few channels are measured for a line. */
  readonly line: LineFit | null;
  readonly flatnessDb: number | null;
  readonly worst: { readonly marginDb: number; readonly channel: string | null } | null;
  readonly breaches: readonly BreachView[];
  /** RF channels of the plan without a carrier here. */
  readonly notLookedFor: readonly string[];
}

/**
 * Says of each carrier which channel it is and what margin it has, fits level and tilt, and lists every limit missed.
 * Carriers outside the plan are kept, bend no line and miss no limit, since nothing is agreed about them; without a plan
 * all carriers count.
 *
 * @param carriers in rising frequency
 */
export function readCarriers(
  carriers: readonly CarrierValues[],
  plan: PlanVersion | null,
  limitSet: LimitSet,
): BandReading {
  const freqMhz = carriers.map((carrier) => carrier.freqMhz);
  const matched = plan === null ? null : matchChannels(freqMhz, plan);
  const read = carriers.map((carrier, i) => readCarrier(carrier, matched?.channels[i] ?? null, limitSet));

  const line = robustLine(
    freqMhz,
    read.map(({ planned, levelDbmv }) => (matched === null || planned !== null ? levelDbmv : null)),
    { group: read.map(({ modulation }) => modulation ?? 'outside the plan') },
  );
  const flatness = line === null ? null : flatnessDb(line.residualDb);
  const agreed = matched === null ? read : read.filter(({ planned }) => planned !== null);
  return {
    carriers: read,
    line,
    flatnessDb: flatness,
    worst: worstOf(read),
    breaches: judge(limitSet, { channels: agreed, tiltDb: line?.tiltDb ?? null, flatnessDb: flatness }),
    notLookedFor: matched?.notLookedFor.map(({ channel }) => channel) ?? [],
  };
}

/** A sweep's carriers, in its order. */
export function carriersOf(sweep: Sweep): CarrierValues[] {
  return sweep.freqMhz.map((freqMhz, i) => ({
    freqMhz,
    levelDbmv: sweep.levelDbmv[i] ?? null,
    merDb: sweep.merDb?.[i] ?? null,
    cnrDb: sweep.cnrDb?.[i] ?? null,
  }));
}

function readCarrier(
  carrier: CarrierValues,
  planned: PlannedChannel | null,
  limitSet: LimitSet,
): CarrierReading {
  const { freqMhz, levelDbmv, merDb, cnrDb } = carrier;
  const modulation = planned?.modulation ?? null;
  const floor = qualityFloor(limitSet, modulation);
  const value = floor?.quantity === 'cnr' ? cnrDb : merDb;
  return {
    freqMhz,
    levelDbmv,
    merDb,
    cnrDb,
    planned,
    channel: planned?.channel ?? null,
    modulation,
    marginDb: floor === null || value === null ? null : value - floor.min,
  };
}

function worstOf(read: readonly CarrierReading[]): BandReading['worst'] {
  let worst: { marginDb: number; channel: string | null } | null = null;
  for (const { marginDb, channel } of read) {
    if (marginDb === null) continue;
    if (worst === null || marginDb < worst.marginDb) worst = { marginDb, channel };
  }
  return worst;
}
