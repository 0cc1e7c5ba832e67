import type { z } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { InvalidInput } from '../errors.ts';
import type { DayProposal, PlannedSite, PlanQuestion, ProposedStop } from '../schemas/visits.ts';
import type { DayOrder, Stop } from './dayOrder.ts';
import type { Place } from './greatCircleKm.ts';
import { leftReasons } from './leftReasons.ts';
import { openTasks } from './openTasks.ts';
import { planOrder } from './planOrder.ts';

const MINUTE_MS = 60_000;
const LONGEST_MINUTES = 24 * 60;

/**
 * A day from the open alerts: which buildings, in which order, and what it leaves. Keeps nothing.
 * @throws InvalidInput when the hours are no day's
 */
export async function proposeDay(
  db: Db,
  question: z.output<typeof PlanQuestion>,
  nowMs: number,
): Promise<DayProposal> {
  const fromMs = Date.parse(question.from);
  const minutes = workingMinutes(question);
  const sites = await openTasks(db);
  const leftOut = question.without?.split(',').map(Number) ?? [];
  const reasons = await leftReasons(db, sites, leftOut, nowMs);

  const offered = sites.filter(({ siteId }) => !reasons.has(siteId));
  const order = planOrder(offered.map(stopOf), { start: startOf(question), minutes });
  const held = new Set(order.stops.map(({ stop }) => stop.siteId));
  return {
    stops: proposedStops(order, sites, fromMs),
    backMinutes: order.backMinutes,
    backAt: backAt(order, fromMs),
    savedOutletDays: order.savedOutletDays,
    left: sites
      .filter(({ siteId }) => !held.has(siteId))
      .map((site) => ({ ...site, reason: reasons.get(site.siteId) ?? 'no-room' })),
  };
}

/** @throws InvalidInput when they are no day's */
export function workingMinutes({ from, to }: { from: string; to: string }): number {
  const minutes = (Date.parse(to) - Date.parse(from)) / MINUTE_MS;
  if (minutes <= 0) throw new InvalidInput({ to: 'must lie after from' });
  if (minutes > LONGEST_MINUTES) throw new InvalidInput({ to: 'must lie within 24 hours of from' });
  return minutes;
}

export function startOf(start: {
  startLatitude?: number | null | undefined;
  startLongitude?: number | null | undefined;
}): Place | null {
  const { startLatitude: latitude, startLongitude: longitude } = start;
  return latitude == null || longitude == null ? null : { latitude, longitude };
}

export function stopOf({ siteId, latitude, longitude, outletDays, minutes }: PlannedSite): Stop {
  const place = latitude === null || longitude === null ? null : { latitude, longitude };
  return { siteId, place, outletDays, minutes };
}

export function proposedStops(
  order: DayOrder,
  sites: readonly PlannedSite[],
  fromMs: number,
): ProposedStop[] {
  const byId = new Map(sites.map((site) => [site.siteId, site]));
  return order.stops.map(({ stop, driveMinutes, arriveMinute, leaveMinute, savedOutletDays }) => ({
    ...byId.get(stop.siteId)!,
    driveMinutes,
    arriveAt: clock(fromMs, arriveMinute),
    leaveAt: clock(fromMs, leaveMinute),
    savedOutletDays,
  }));
}

function backAt(order: DayOrder, fromMs: number): string | null {
  const last = order.stops.at(-1);
  return last === undefined ? null : clock(fromMs, last.leaveMinute + order.backMinutes);
}

function clock(fromMs: number, minute: number): string {
  return new Date(fromMs + Math.round(minute) * MINUTE_MS).toISOString();
}
