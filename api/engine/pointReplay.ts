import { advance, toldFindings } from '../trend/advance.ts';
import { dayOf, hourRow } from '../trend/hours.ts';
import { observe } from '../trend/observe.ts';
import { keyOf, type TrendState } from '../trend/state.ts';
import { DAY_MS, type Finding, type HourRow, type Observation } from '../trend/types.ts';
import { compareAt } from './compareAt.ts';
import type { PointContext } from './pointContext.ts';
import { type SweepText, toSweep } from './readSweepPages.ts';

/** Days for which a checkpoint is kept for each; older ones stay one for each month. */
export const DAILY_CHECKPOINT_DAYS = 14;
export const MONTH_MS = 30 * DAY_MS;

/** A state to go back to: everything up to and including `atMs` is in it. */
export interface Checkpoint {
  readonly atMs: number;
  readonly json: string;
}

/** One point's run through new sweeps: what it started from and what is to be written. */
export interface PointReplay {
  readonly pointId: number;
  readonly context: PointContext;
  readonly state: TrendState;
  /** Null: from nothing. */
  readonly startedMs: number | null;
  /** What is stored beyond the start was concluded without the news, and goes. */
  readonly rewound: boolean;
  readonly findings: Map<string, Finding>;
  readonly hours: HourRow[];
  checkpoints: Checkpoint[];
  sweeps: number;
  latest: Observation | null;
}

/** Begins a run from `state`. After going back, the findings that the state knows are told again. */
export function startReplay(
  pointId: number,
  context: PointContext,
  state: TrendState,
  rewound: boolean,
): PointReplay {
  const known = rewound ? toldFindings(state) : [];
  return {
    pointId,
    context,
    state,
    startedMs: state.lastMs,
    rewound,
    findings: new Map(known.map((finding) => [keyOf(finding), finding])),
    hours: [],
    checkpoints: [],
    sweeps: 0,
    latest: null,
  };
}

/** Takes sweeps in, in order; `grids` holds the MHz of each grid among them. */
export function takeSweeps(
  replay: PointReplay,
  rows: readonly SweepText[],
  grids: ReadonlyMap<number, readonly number[]>,
): void {
  const { state } = replay;
  for (const row of rows) {
    const gridId = row[3];
    const sweep = toSweep(row, grids.get(gridId)!);
    if (state.lastMs !== null && dayOf(sweep.atMs) !== dayOf(state.lastMs)) keepCheckpoint(replay);
    const { frame, reference } = compareAt(replay.context, gridId, sweep.freqMhz, sweep.atMs);
    const observation = observe(sweep, frame);
    const { changed, endedHour } = advance(state, observation, reference);
    if (endedHour) replay.hours.push(endedHour);
    for (const finding of changed) replay.findings.set(keyOf(finding), finding);
    replay.latest = observation;
    replay.sweeps++;
  }
}

/** Hours to write: those that ended, and the one in progress as far as it has come. */
export function hoursOf(replay: PointReplay): HourRow[] {
  const inProgress = hourRow(replay.state);
  return inProgress === null ? replay.hours : [...replay.hours, inProgress];
}

/** The latest reading as pages show it; null when the run took no sweep. */
export function latestOf({ latest }: PointReplay): Record<string, unknown> | null {
  if (latest === null) return null;
  return {
    at: new Date(latest.atMs).toISOString(),
    instrument: latest.instrument,
    ambientC: latest.ambientC,
    levelDbmv: latest.levelDbmv,
    tiltDb: latest.tiltDb,
    flatnessDb: latest.flatnessDb,
    worstMerMarginDb: latest.merMarginDb,
    worstMerChannel: latest.merMarginChannel,
    levelDevDb: latest.levelDevDb,
    tiltDevDb: latest.tiltDevDb,
    merDevDb: latest.merDevDb,
    channels: latest.channels,
    lostChannels: latest.lostChannels,
  };
}

function keepCheckpoint(replay: PointReplay): void {
  const atMs = replay.state.lastMs!;
  const daily = atMs - DAILY_CHECKPOINT_DAYS * DAY_MS;
  const kept = replay.checkpoints.filter(
    (checkpoint, i, all) =>
      checkpoint.atMs >= daily ||
      i === 0 ||
      Math.floor(checkpoint.atMs / MONTH_MS) !== Math.floor(all[i - 1]!.atMs / MONTH_MS),
  );
  kept.push({ atMs, json: JSON.stringify(replay.state) });
  replay.checkpoints = kept;
}
