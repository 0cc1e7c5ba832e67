import { seedFrom, uniformStream } from '../../seed/simulator/random.ts';
import type { Alert } from './alert.ts';
import { createEngine } from './engineUnderTest.ts';
import { DAY_MS, type FleetSite, makeSite, withFaults } from './fleet.ts';
import { oracleDelayMs } from './oracle.ts';
import type { Row, Truth } from './plantedCase.ts';
import { type AlertScore, scoreAlert } from './scoreAlert.ts';
import type { Setting } from './settings.ts';
import { sweepsOf } from './sweepsOf.ts';
import { createTodayWatch, TODAY, type TodayMethod, type TodayWatch } from './today.ts';
import { limitCrossingMs } from './truths.ts';

const EARLIEST_ONSET_DAY = 30;
const ONSET_SPREAD_DAYS = 15;
const LONGEST_DAYS = 30;
/** Causes are judged once more when the engine has had this long. */
const AFTER_DETECTION_DAYS = 3;
const LOOK_EVERY_MS = 6 * 3_600_000;

/** One faulty site: what was planted, what was told of it and when. */
export interface CaseResult {
  readonly row: string;
  readonly family: string;
  readonly index: number;
  /** Alerts told before the onset; these say nothing of false alarms, which fault-free years count. */
  readonly before: number;
  /** Null: not found within 30 days. */
  readonly delayMs: number | null;
  /** Null: no reading moves. */
  readonly oracleMs: number | null;
  /** Alerts told after the onset beyond one for each fault. */
  readonly extra: number;
  /** Share of the planted faults for which some alert named the right hop when it was first told. */
  readonly placed: number | null;
  readonly sideRight: boolean | null;
  readonly truthCause: string;
  readonly causeAtFirst: string;
  readonly causeAtEnd: string;
  readonly score: AlertScore | null;
  /** Days from the first alert until a limit is crossed, and from the onset; null where none is within 900 days. */
  readonly leadDays: number | null;
  readonly leavesDays: number | null;
  readonly caughtToday: readonly TodayMethod[];
}

interface Told {
  readonly firstMs: number;
  readonly first: Alert;
  latestMs: number;
  latest: Alert;
}

/** Plants the fault of `row` at the `index`-th site of a seed and lets the engine watch it. */
export function runCase(seed: number, row: Row, index: number, setting: Setting): CaseResult {
  const { site, truths } = plantCase(seed, row, index, setting);
  const onsetMs = Math.min(...truths.map(({ fault }) => fault.onsetMs));
  const watched = watch(site, onsetMs);
  const [main] = watched.told;
  const about = main === undefined ? truths[0]! : truthOf(main.first, truths);
  const crossingMs = row.nature === 'ramp' ? limitCrossingMs(site, truths) : null;

  return {
    row: row.name,
    family: row.family,
    index,
    before: watched.before,
    delayMs: main === undefined ? null : main.firstMs - onsetMs,
    oracleMs: oracleDelayMs(site, truths[0]!, row.nature),
    extra: Math.max(0, watched.told.length - truths.length),
    placed: main === undefined ? null : placedShare(watched.told, truths),
    sideRight: main === undefined ? null : main.first.side === about.side,
    truthCause: about.causes[0]!,
    causeAtFirst: causeTold(main?.first, about),
    causeAtEnd: causeTold(main?.latest, about),
    score: main === undefined ? null : scoreAlert(main.latest, main.latestMs, about, site, crossingMs),
    leadDays: main === undefined || crossingMs === null ? null : (crossingMs - main.firstMs) / DAY_MS,
    leavesDays: crossingMs === null ? null : (crossingMs - onsetMs) / DAY_MS,
    caughtToday: watched.caughtToday,
  };
}

function plantCase(
  seed: number,
  row: Row,
  index: number,
  setting: Setting,
): { site: FleetSite; truths: readonly Truth[] } {
  const name = `${row.name} ${index}`;
  const layout = row.layouts === null ? undefined : row.layouts[index % row.layouts.length];
  const plain = makeSite(seed, name, setting, index, layout);
  const uniform = uniformStream(seedFrom(seed, name, 'fault'));
  const day = EARLIEST_ONSET_DAY + ONSET_SPREAD_DAYS * uniform();
  const { points, channels, startMs } = plain.evaluated;
  const onsetMs = startMs + 1000 * Math.round((day * DAY_MS) / 1000);
  const truths = row.plant({ points, channels: channels.map(({ channel }) => channel) }, onsetMs, uniform);
  return {
    site: withFaults(
      plain,
      truths.map(({ fault }) => fault),
    ),
    truths,
  };
}

/** Feeds the engine, and what people use today, until 30 days after the onset or three days after the first alert. */
function watch(
  site: FleetSite,
  onsetMs: number,
): { told: readonly Told[]; before: number; caughtToday: readonly TodayMethod[] } {
  const engine = createEngine(site.evaluated);
  const today = createTodayWatch(site.evaluated);
  const before = new Set<string>();
  const told = new Map<string, Told>();
  const caught = new Set<TodayMethod>();
  const lastMs = onsetMs + LONGEST_DAYS * DAY_MS;
  let untilMs = lastMs;

  for (const { point, sweep } of sweepsOf(site, site.evaluated.startMs, lastMs)) {
    const { atMs } = sweep;
    if (atMs >= untilMs) break;
    for (const method of today.take(point, sweep)) if (atMs >= onsetMs) caught.add(method);
    for (const alert of engine.take(point, sweep)) {
      if (atMs < onsetMs) before.add(alert.id);
      if (before.has(alert.id)) continue;
      const known = told.get(alert.id);
      if (known) Object.assign(known, { latest: alert, latestMs: atMs });
      else told.set(alert.id, { first: alert, firstMs: atMs, latest: alert, latestMs: atMs });
      if (told.size === 1 && !known) untilMs = Math.min(lastMs, atMs + AFTER_DETECTION_DAYS * DAY_MS);
    }
  }
  lookOn(site, today, caught, untilMs, lastMs);
  return { told: [...told.values()], before: before.size, caughtToday: [...caught] };
}

/** What is used today has the rest of the 30 days too: three rounds of sweeps every six hours show it. */
function lookOn(
  site: FleetSite,
  today: TodayWatch,
  caught: Set<TodayMethod>,
  fromMs: number,
  toMs: number,
): void {
  for (let atMs = fromMs; atMs < toMs && caught.size < TODAY.length; atMs += LOOK_EVERY_MS) {
    for (const { point, sweep } of sweepsOf(site, atMs, atMs + 3 * site.evaluated.intervalMs)) {
      for (const method of today.take(point, sweep)) caught.add(method);
    }
  }
}

function placedShare(told: readonly Told[], truths: readonly Truth[]): number {
  const judged = truths.length === 1 ? told.slice(0, 1) : told;
  const placed = truths.filter((truth) => judged.some(({ first }) => namesHop(first, truth)));
  return placed.length / truths.length;
}

/** The right hop, alone or together with those that cannot be told apart from it. */
function namesHop({ hops }: Alert, { hop, confusable }: Truth): boolean {
  return hops.includes(hop) && hops.every((named) => named === hop || confusable.includes(named));
}

/** The fault that an alert is about: the one at the hop that it names, or else the first. */
function truthOf(alert: Alert, truths: readonly Truth[]): Truth {
  return truths.find(({ hop }) => alert.hops.includes(hop)) ?? truths[0]!;
}

function causeTold(alert: Alert | undefined, truth: Truth): string {
  if (alert === undefined) return 'not found';
  if (alert.cause === null) return 'not sure';
  return truth.causes.includes(alert.cause) ? truth.causes[0]! : alert.cause;
}
