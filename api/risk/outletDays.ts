import { treeOrder, upstream } from '../diagnosis/tree.ts';
import { ASSUMPTIONS } from './assumptions.ts';
import { probabilityOutside, type ServiceMargin } from './probabilityOutside.ts';
import { overdueMs, silenceProbability } from './silence.ts';

const DAY_MS = 86_400_000;

/** One channel at a point: lost, or with what it has left to each of its service limits. */
export interface ChannelRisk {
  readonly lost: boolean;
  readonly margins: readonly ServiceMargin[];
}

/** What the formula needs to know of a point. */
export interface PointRisk {
  readonly pointId: number;
  readonly fedBy: number | null;
  /** Outlets that hang on this point and on no point below it. */
  readonly outlets: number;
  readonly intervalS: number;
  readonly hasBaseline: boolean;
  /** Event time of the newest sweep; null when there never was one. */
  readonly lastAtMs: number | null;
  /** The next sweep is due an interval after it; null while none is due, in maintenance or before the first. */
  readonly dueFromMs: number | null;
  readonly channels: readonly ChannelRisk[];
}

/** How a point's outlets come to their expected days of unacceptable service. */
export interface OutletDaysPart {
  readonly pointId: number;
  readonly outlets: number;
  readonly outletDays: number;
  /** Point on the path whose limits weigh most, and its expected days and last-day probability from limits. */
  readonly limitPointId: number;
  readonly limitDays: number;
  readonly limitProbability: number;
  /** Last-day probability from this point's own limits alone. */
  readonly ownLimitProbability: number;
  readonly silenceProbability: number;
  readonly priorDaily: number;
}

/**
 * Expected outlet-days of unacceptable service over the next 14 days, by the point that outlets hang on.
 *
 * For each outlet and each day it is the chance that service is unacceptable, summed:
 *
 * 1. A channel is outside with the largest of the probabilities of its service limits
 *    ({@link probabilityOutside}), or surely when it is lost.
 * 2. A point's service is unacceptable with the mean of those probabilities over the worst fifth of its
 *    channels: what breaks one channel usually breaks its neighbours, and one lost channel of eighty costs its
 *    viewers a sixteenth of the service.
 * 3. An outlet takes the largest such probability along its path from the handoff. What is wrong upstream shows
 *    at every point below, so adding the points up would count one fault many times.
 * 4. Silence adds its own chance of an outage ({@link silenceProbability}), unless a point at or below still
 *    reports: `1 − (1 − p)(1 − q)`. An outlet whose point never reported goes by the nearest point upstream.
 * 5. Where no point of the path has a baseline, the chance is at least a small prior.
 *
 * It never falls with longer silence, steeper worsening, less margin or more outlets.
 */
export function outletDays(points: readonly PointRisk[], nowMs: number): OutletDaysPart[] {
  const ordered = treeOrder(points).map(({ point }) => point);
  const byId = new Map(points.map((point) => [point.pointId, point]));
  const limits = new Map(ordered.map((point) => [point.pointId, limitProbabilities(point, nowMs)]));
  const overdue = overdueByPoint(ordered, nowMs);

  return ordered.map((point) => {
    const path = [point, ...upstream(point.pointId, byId)];
    const silent = silenceProbability(overdue.get(point.pointId) ?? 0);
    const prior = path.some((member) => member.hasBaseline) ? 0 : ASSUMPTIONS.noBaselineDaily;
    const worst = path.reduce((a, b) => (sum(limits.get(b.pointId)!) > sum(limits.get(a.pointId)!) ? b : a));

    let days = 0;
    for (let day = 0; day < ASSUMPTIONS.horizonDays; day++) {
      const limit = Math.max(...path.map((member) => limits.get(member.pointId)![day]!));
      days += Math.max(prior, 1 - (1 - limit) * (1 - silent));
    }
    const own = limits.get(worst.pointId)!;
    return {
      pointId: point.pointId,
      outlets: point.outlets,
      outletDays: point.outlets * days,
      limitPointId: worst.pointId,
      limitDays: sum(own),
      limitProbability: own.at(-1)!,
      ownLimitProbability: limits.get(point.pointId)!.at(-1)!,
      silenceProbability: silent,
      priorDaily: prior,
    };
  });
}

/** Chance of unacceptable service at one point by its limits alone, for each day of the horizon. */
function limitProbabilities(point: PointRisk, nowMs: number): number[] {
  const silentDays = point.lastAtMs === null ? 0 : Math.max(0, nowMs - point.lastAtMs) / DAY_MS;
  return Array.from({ length: ASSUMPTIONS.horizonDays }, (_, day) => {
    const outside = point.channels.map((channel) => channelOutside(channel, silentDays + day + 0.5));
    return meanOfWorstFifth(outside);
  });
}

function channelOutside(channel: ChannelRisk, days: number): number {
  if (channel.lost) return 1;
  return channel.margins.reduce((worst, margin) => Math.max(worst, probabilityOutside(margin, days)), 0);
}

/** Mean of the largest fifth of the values; the last value taken counts by the part that falls inside it. */
export function meanOfWorstFifth(values: readonly number[]): number {
  const places = Math.max(1, values.length * ASSUMPTIONS.wholeServiceShare);
  const worst = values
    .filter((value) => value > 0)
    .sort((a, b) => b - a)
    .slice(0, Math.ceil(places));
  return worst.reduce((total, value, i) => total + value * Math.min(1, places - i), 0) / places;
}

/** Silence counts from the freshest report at the point or below it; where there is none, from upstream. */
function overdueByPoint(ordered: readonly PointRisk[], nowMs: number): Map<number, number | null> {
  const overdue = new Map<number, number | null>();
  for (const point of ordered.toReversed()) {
    const own = overdueMs(point.dueFromMs, point.intervalS, nowMs);
    const below = ordered
      .filter((child) => child.fedBy === point.pointId)
      .map((child) => overdue.get(child.pointId) ?? null);
    const known = [own, ...below].filter((value) => value !== null);
    overdue.set(point.pointId, known.length === 0 ? null : Math.min(...known));
  }
  for (const point of ordered) {
    if (overdue.get(point.pointId) === null && point.fedBy !== null) {
      overdue.set(point.pointId, overdue.get(point.fedBy) ?? null);
    }
  }
  return overdue;
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
