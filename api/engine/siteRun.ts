import { calibrationAt } from '../instruments/calibrations.ts';
import { isInterrupted, windowAt } from '../maintenance/window.ts';
import type { Frame } from '../trend/frame.ts';
import { forgetSuspicions, setAside } from '../trend/maintenance.ts';
import { observe } from '../trend/observe.ts';
import { hourInProgress, type SiteTrend, takeSweep, toldFindings } from '../trend/siteTrend.ts';
import type { Finding, HourRow, Observation, Reference } from '../trend/types.ts';
import { type Checkpoint, isWorthKeeping, keptCheckpoints } from './checkpoints.ts';
import type { ClaimedSite } from './claimSite.ts';
import { compareAt } from './compareAt.ts';
import type { SiteContext } from './loadSiteContext.ts';
import { packTrend } from './packedTrend.ts';
import { type SweepText, toSweep } from './sweepsInOrder.ts';

/** What was told last of a finding. */
export interface ToldFinding {
  readonly event: number;
  readonly pointId: number;
  /** Null: it no longer stands. */
  readonly finding: Finding | null;
  /** Event time of the sweep that told it. */
  readonly toldMs: number;
}

/** A reading, and whether people were at work on the plant when it was taken. */
export interface LatestReading {
  readonly observation: Observation;
  readonly inMaintenance: boolean;
}

export interface PointHour {
  readonly pointId: number;
  readonly row: HourRow;
}

/** One site's run through new sweeps: what it started from and what is to be written. */
export interface SiteRun {
  readonly trend: SiteTrend;
  readonly startedMs: number | null;
  /** What is stored beyond the start was concluded without the news, and goes. */
  readonly rewound: boolean;
  lastMs: number | null;
  sweeps: number;
  readonly findings: Map<string, ToldFinding>;
  readonly endedHours: PointHour[];
  checkpoints: Checkpoint[];
  /** Newest observation of each point that had sweeps. */
  readonly latest: Map<number, LatestReading>;
  /** Instruments that read here and aren't kept yet. */
  readonly newInstruments: Set<string>;
  /** Stored states of points without sweeps, by point: another point's sweep may change them too. */
  readonly stored: ReadonlyMap<number, string>;
}

/** Begins a run. After going back, the findings that the state knows are told again. */
export function startRun({ trend, startedMs, rewound, pointIds }: ClaimedSite): SiteRun {
  const quiet = rewound ? [] : Object.entries(trend.points).filter(([id]) => !pointIds.includes(Number(id)));
  const run: SiteRun = {
    trend,
    startedMs,
    rewound,
    lastMs: startedMs,
    sweeps: 0,
    findings: new Map(),
    endedHours: [],
    checkpoints: [],
    latest: new Map(),
    newInstruments: new Set(),
    stored: new Map(quiet.map(([id, point]) => [Number(id), JSON.stringify(point)])),
  };
  if (rewound && startedMs !== null) {
    for (const finding of toldFindings(trend)) tellOf(run, finding, startedMs);
  }
  return run;
}

/** Takes in a page of sweeps, in order; the grids among them are known to `context`. */
export function takePage(run: SiteRun, context: SiteContext, page: readonly SweepText[]): void {
  const newestMs = page.at(-1)?.[1] ?? 0;
  for (const row of page) {
    const [pointId, atMs, , gridId] = row;
    const { lastMs, startedMs } = run;
    if (lastMs !== null && isWorthKeeping(lastMs, atMs, newestMs, startedMs)) keepCheckpoint(run, lastMs);

    const sweep = toSweep(row, context.grids.get(gridId)!);
    const { frame, reference } = compareAt(context.points.get(pointId)!, gridId, sweep.freqMhz, atMs);
    const calibratedMs = calibrationAt(context.calibrations, sweep.instrument, atMs)?.atMs ?? null;
    const observation = observe(sweep, frame, calibratedMs);
    const inMaintenance = windowAt(context.windows, atMs) !== null;
    const endedHour = inMaintenance
      ? setAside(run.trend, pointId, observation, reference)
      : judge(run, context, pointId, frame, observation, reference);
    if (endedHour) run.endedHours.push({ pointId, row: endedHour });
    if (!context.instruments.has(sweep.instrument)) run.newInstruments.add(sweep.instrument);
    run.latest.set(pointId, { observation, inMaintenance });
    run.lastMs = atMs;
    run.sweeps++;
  }
}

function judge(
  run: SiteRun,
  { tree, windows }: SiteContext,
  pointId: number,
  frame: Frame,
  observation: Observation,
  reference: Reference | null,
): HourRow | null {
  const { atMs } = observation;
  const lastMs = run.trend.points[pointId]?.lastMs ?? null;
  if (lastMs !== null && isInterrupted(windows, lastMs, atMs)) forgetSuspicions(run.trend, pointId);
  const told = takeSweep(run.trend, tree, pointId, frame, observation, reference);
  for (const gone of told.gone) tell(run, { ...gone, finding: null, toldMs: atMs });
  for (const finding of told.changed) tellOf(run, finding, atMs);
  return told.endedHour;
}

/** Hours to write: those that ended, and those in progress as far as they have come. */
export function hoursOf({ trend, endedHours, latest }: SiteRun): PointHour[] {
  const inProgress = [...latest.keys()].flatMap((pointId) => {
    const row = hourInProgress(trend, pointId);
    return row === null ? [] : [{ pointId, row }];
  });
  return [...endedHours, ...inProgress];
}

/** States to write, as JSON by point: those that differ from what is stored. */
export function changedStates({
  trend,
  stored,
}: SiteRun): { pointId: number; lastMs: number | null; json: string }[] {
  return Object.entries(trend.points)
    .map(([id, point]) => ({ pointId: Number(id), lastMs: point.lastMs, json: JSON.stringify(point) }))
    .filter(({ pointId, json }) => stored.get(pointId) !== json);
}

function tellOf(run: SiteRun, finding: Finding, toldMs: number): void {
  const { event, pointId } = finding;
  tell(run, { event, pointId, finding, toldMs });
}

function tell(run: SiteRun, told: ToldFinding): void {
  run.findings.set(`${told.event} ${told.pointId}`, told);
}

function keepCheckpoint(run: SiteRun, atMs: number): void {
  const checkpoint = { atMs, packed: packTrend(run.trend) };
  run.checkpoints = keptCheckpoints([...run.checkpoints, checkpoint], atMs);
}
