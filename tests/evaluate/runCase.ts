import { seedFrom, uniformStream } from '../../seed/simulator/random.ts';
import type { Alert } from './alert.ts';
import { DAY_MS, type FleetSite, makeSite, withFaults } from './fleet.ts';
import { oracleDelayMs } from './oracle.ts';
import type { Row, Truth } from './plantedCase.ts';
import { type AlertScore, scoreAlert } from './scoreAlert.ts';
import type { Setting } from './settings.ts';
import type { TodayMethod } from './today.ts';
import { limitCrossingMs } from './truths.ts';
import { type Told, watchSite } from './watchSite.ts';

const EARLIEST_ONSET_DAY = 30;
const ONSET_SPREAD_DAYS = 15;

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

/** Plants the fault of `row` at the `index`-th site of a seed and lets the engine watch it. */
export function runCase(seed: number, row: Row, index: number, setting: Setting): CaseResult {
  const { site, truths } = plantCase(seed, row, index, setting);
  const onsetMs = Math.min(...truths.map(({ fault }) => fault.onsetMs));
  const watched = watchSite(site, onsetMs, ({ first }) => !truths.some((truth) => namesHop(first, truth)));
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

function placedShare(told: readonly Told[], truths: readonly Truth[]): number {
  const judged = truths.length === 1 ? told.slice(0, 1) : told;
  const placed = truths.filter((truth) => judged.some(({ first }) => namesHop(first, truth)));
  return placed.length / truths.length;
}

/** The right hop, alone or, where no reading tells them apart, together with one more. */
function namesHop({ hops }: Alert, { hop, mayName }: Truth): boolean {
  return hops.includes(hop) && hops.length <= mayName;
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
