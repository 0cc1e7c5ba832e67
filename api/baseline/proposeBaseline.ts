import { planInForce } from '../../ingest/plan/planInForce.ts';
import type { Db } from '../../ingest/store/database.ts';
import { readSweeps } from '../../ingest/store/readSweeps.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { ApiError } from '../errors.ts';
import { type Calibrations, loadCalibrations, overdueSince } from '../instruments/calibrations.ts';
import type { OverdueInstrument } from '../instruments/overdueEvidence.ts';
import { windowAt } from '../maintenance/window.ts';
import { windowsFor } from '../maintenance/windowsAt.ts';
import { type BaselineDraft, buildBaseline } from './buildBaseline.ts';
import { loadPoint, type PointContext } from './loadPoint.ts';

/** Fewer sweeps can't tell a reading from a mistake. */
export const LEAST_SWEEPS = 3;
const LONGEST_WINDOW_DAYS = 31;
const DAY_MS = 86_400_000;

/** A stretch of event time at one point, both ends included, milliseconds since 1970-01-01 UTC. */
export interface BaselineWindow {
  readonly siteId: number;
  readonly pointId: number;
  readonly fromMs: number;
  readonly toMs: number;
}

export interface BaselineProposal {
  readonly window: BaselineWindow;
  readonly context: PointContext;
  readonly draft: BaselineDraft;
  /** Instruments that were out of calibration when they read in the window, and since when. */
  readonly overdue: readonly OverdueInstrument[];
  /** Sweeps of it that were taken in a maintenance window. */
  readonly maintenanceSweeps: number;
}

/**
 * Builds a baseline from the sweeps of a window without keeping it.
 *
 * @throws NotFound when there is no such point
 * @throws ApiError 422 when the window is empty, too long or spans a line-up change, holds fewer than
 * {@link LEAST_SWEEPS} sweeps, or too few channels for a line
 */
export async function proposeBaseline(db: Db, window: BaselineWindow): Promise<BaselineProposal> {
  const { siteId, pointId, fromMs, toMs } = window;
  checkLength(window);
  const context = await loadPoint(db, siteId, pointId);
  const plan = planInForce(context.planVersions, toMs);
  checkOneLineUp(context, window);

  const sweeps = await readSweeps(db, siteId, pointId, fromMs, toMs + 1);
  if (sweeps.length < LEAST_SWEEPS) {
    throw refusal(
      'too-few-sweeps',
      `from and to hold ${sweeps.length} sweeps; a baseline takes at least ${LEAST_SWEEPS}`,
      'choose a longer window, or wait for more sweeps',
    );
  }
  const draft = buildBaseline(sweeps, plan, context.limitSet);
  if (draft === null) {
    throw refusal(
      'too-few-channels',
      'fewer than three channels of the plan were measured, which makes no line',
      'choose a window in which the feed was up, or correct the channel plan',
    );
  }
  const windows = await windowsFor(db, siteId, fromMs, toMs);
  return {
    window,
    context,
    draft,
    overdue: overdueAmong(sweeps, await loadCalibrations(db, siteId)),
    maintenanceSweeps: sweeps.filter(({ atMs }) => windowAt(windows, atMs) !== null).length,
  };
}

function overdueAmong(sweeps: readonly Sweep[], calibrations: Calibrations): OverdueInstrument[] {
  const overdue = new Map<string, number>();
  for (const { instrument, atMs } of sweeps) {
    const sinceMs = overdueSince(calibrations, instrument, atMs);
    if (sinceMs !== null) overdue.set(instrument, sinceMs);
  }
  return [...overdue].map(([name, sinceMs]) => ({ name, sinceMs }));
}

function checkLength({ fromMs, toMs }: BaselineWindow): void {
  if (!(toMs >= fromMs))
    throw refusal('window-empty', 'to lies before from', 'choose an end after the start');
  if (toMs - fromMs > LONGEST_WINDOW_DAYS * DAY_MS) {
    throw refusal(
      'window-too-long',
      `from and to are more than ${LONGEST_WINDOW_DAYS} days apart`,
      'choose a shorter window: a baseline is what was normal at one time',
    );
  }
}

/** Medians over two line-ups would be the reference of neither. */
function checkOneLineUp({ planVersions }: PointContext, { fromMs, toMs }: BaselineWindow): void {
  const change = planVersions.find(
    ({ effectiveFromMs }) => effectiveFromMs > fromMs && effectiveFromMs <= toMs,
  );
  if (change === undefined || planInForce(planVersions, fromMs) === null) return;
  const at = new Date(change.effectiveFromMs).toISOString();
  throw refusal(
    'window-spans-line-up-change',
    `between from and to the channel plan changed to version ${change.version} (${at})`,
    'choose a window before or after that moment',
  );
}

function refusal(code: string, message: string, action: string): ApiError {
  return new ApiError(422, code, message, action);
}
