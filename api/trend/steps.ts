import { close, openOf, track } from './findings.ts';
import { keyOf, type MetricState, type Tracked, type TrendState, thousandths } from './state.ts';
import { correlation, restartAt, type Step, spreadDb } from './stepWatch.ts';
import { DAY_MS, type Finding, HOUR_MS, type Metric, UNMEASURED } from './types.ts';

const NORMAL_80 = 1.2816;
/** A deviation has returned when so much of it at most is left. */
const RETURNED_SHARE = 0.35;
const SETTLING_SWEEPS = 12;
/** Sweeps behind the level after a step, and behind a level that is called returned. */
const FRESH_SWEEPS = 2;
const SWEEPS_BEFORE_RETURN = 8;

/**
 * Takes a confirmed step in: it ends findings whose deviation has returned, carries one on that it is part of, or begins
 * a finding. Changes `state`.
 */
export function takeStep(
  state: TrendState,
  metric: Metric,
  step: Step,
  atMs: number,
  smallestStepDb: number,
  changed: Set<Tracked>,
): void {
  const m = state.metrics[metric];
  restartAt(m, step.afterDb, FRESH_SWEEPS);
  m.recent = m.recent.filter(([at]) => at >= step.onsetMs);
  m.disturbed = true;
  m.driftFromDay = Math.floor(atMs / DAY_MS) + 1;

  const open = openOf(state, metric);
  const returned = open.findIndex((t) => isBack(t, step.afterDb, 0.5 * smallestStepDb));
  if (returned >= 0) {
    for (const t of open.slice(returned)) close(t, step.onsetMs, changed);
    return;
  }
  const top = open[open.length - 1];
  if (top && carryOn(state, top, step, atMs, smallestStepDb, changed)) return;
  if (reopen(state, metric, step, atMs, smallestStepDb, changed)) return;
  begin(state, metric, step, atMs, top && crosses(top, step) ? top : null, changed);
}

/** Refines the size of young steps with each sweep, and ends findings whose deviation has crept back. */
export function settle(state: TrendState, metric: Metric, atMs: number, changed: Set<Tracked>): void {
  const m = state.metrics[metric];
  if (m.suspectSinceMs !== null) return;
  for (const tracked of state.tracked) {
    const { finding } = tracked;
    if (finding.metric !== metric || finding.closedMs !== null) continue;
    if (finding.kind === 'step' && atMs <= tracked.settlingUntilMs) resize(state, tracked, m, changed);
    else if (
      (finding.kind === 'step' || finding.kind === 'drift') &&
      m.weight >= SWEEPS_BEFORE_RETURN &&
      isBack(tracked, m.level, 0)
    ) {
      close(tracked, atMs, changed);
    }
  }
}

function isBack(tracked: Tracked, levelDb: number, slackDb: number): boolean {
  return Math.abs(levelDb - tracked.fromDb) <= Math.max(RETURNED_SHARE * Math.abs(tracked.peakDb), slackDb);
}

function crosses(tracked: Tracked, step: Step): boolean {
  return (
    Math.sign(step.afterDb - tracked.fromDb) !== Math.sign(tracked.peakDb) &&
    Math.sign(step.beforeDb - tracked.fromDb) === Math.sign(tracked.peakDb)
  );
}

/** Part of what is already told: a second half that follows within a day, or a return that stops half-way. */
function carryOn(
  state: TrendState,
  top: Tracked,
  step: Step,
  atMs: number,
  smallestStepDb: number,
  changed: Set<Tracked>,
): boolean {
  const back = Math.sign(step.afterDb - step.beforeDb) !== Math.sign(top.peakDb);
  if (crosses(top, step)) return false;
  if (back) {
    top.peakDb = step.afterDb - top.fromDb;
    top.finding = {
      ...top.finding,
      evidence: { ...top.finding.evidence, partlyReturnedMs: step.onsetMs },
    };
  } else if (top.finding.kind === 'drift' || step.onsetMs > top.settlingUntilMs + DAY_MS) {
    return false;
  }
  top.settlingUntilMs = settlingEnd(state, atMs);
  if (top.finding.kind === 'step') resize(state, top, state.metrics[top.finding.metric as Metric], changed);
  else changed.add(top);
  if (Math.abs(top.peakDb) < smallestStepDb / 2) close(top, step.onsetMs, changed);
  return true;
}

/** The same step again within a day of its end is the same event. */
function reopen(
  state: TrendState,
  metric: Metric,
  step: Step,
  atMs: number,
  smallestStepDb: number,
  changed: Set<Tracked>,
): boolean {
  const same = state.tracked.find(({ finding, fromDb, peakDb }) => {
    if (finding.kind !== 'step' || finding.metric !== metric || finding.closedMs === null) return false;
    if (step.onsetMs - finding.closedMs > DAY_MS) return false;
    const near = Math.max(smallestStepDb, 0.5 * Math.abs(peakDb));
    return Math.abs(step.beforeDb - fromDb) < near && Math.abs(step.afterDb - fromDb - peakDb) < near;
  });
  if (!same) return false;
  const times = ((same.finding.evidence['times'] as number | undefined) ?? 1) + 1;
  same.finding = { ...same.finding, closedMs: null, evidence: { ...same.finding.evidence, times } };
  same.settlingUntilMs = settlingEnd(state, atMs);
  changed.add(same);
  return true;
}

function begin(
  state: TrendState,
  metric: Metric,
  step: Step,
  atMs: number,
  crossed: Tracked | null,
  changed: Set<Tracked>,
): void {
  if (crossed) close(crossed, step.onsetMs, changed);
  const fromDb = crossed?.fromDb ?? step.beforeDb;
  const finding: Finding = {
    kind: 'step',
    metric,
    detectedMs: atMs,
    onsetMs: step.onsetMs,
    onsetLowMs: step.onsetLowMs,
    onsetHighMs: step.onsetHighMs,
    ...UNMEASURED,
    evidence: { noiseDb: thousandths(spreadDb(state.metrics[metric])) },
  };
  const leader = leaderOf(state, step.onsetMs);
  const tracked: Tracked = {
    finding,
    fromDb,
    peakDb: step.afterDb - fromDb,
    movingDbPerDay: 0,
    settlingUntilMs: settlingEnd(state, atMs),
    ledBy: leader && keyOf(leader.finding),
  };
  track(state, tracked, changed);
  resize(state, tracked, state.metrics[metric], changed);
}

function settlingEnd(state: TrendState, atMs: number): number {
  return atMs + Math.max(DAY_MS, SETTLING_SWEEPS * state.gapMs);
}

/** An open finding that began with this one and tells of the event already. */
function leaderOf(state: TrendState, onsetMs: number): Tracked | null {
  const near = Math.max(HOUR_MS, 3 * state.gapMs);
  return (
    state.tracked.find(
      ({ finding, ledBy }) =>
        ledBy === null &&
        finding.kind !== 'drift' &&
        finding.closedMs === null &&
        Math.abs(finding.onsetMs - onsetMs) <= near,
    ) ?? null
  );
}

function resize(state: TrendState, tracked: Tracked, m: MetricState, changed: Set<Tracked>): void {
  const size = m.level - tracked.fromDb;
  const rho = correlation(m);
  const variance = spreadDb(m) ** 2 * ((1 + rho) / (1 - rho));
  const reach = NORMAL_80 * Math.sqrt(variance / Math.max(1, m.weight) + variance / 40);
  if (Math.abs(size) > Math.abs(tracked.peakDb)) tracked.peakDb = size;
  tracked.finding = {
    ...tracked.finding,
    sizeDb: thousandths(size),
    sizeLowDb: thousandths(size - reach),
    sizeHighDb: thousandths(size + reach),
  };
  changed.add(tracked);
  if (tracked.ledBy !== null) tellLeader(state, tracked, changed);
}

function tellLeader(state: TrendState, tracked: Tracked, changed: Set<Tracked>): void {
  const leader = state.tracked.find((t) => keyOf(t.finding) === tracked.ledBy);
  if (!leader) return;
  const { evidence } = leader.finding;
  const also = {
    ...(evidence['alsoDb'] as object | undefined),
    [tracked.finding.metric]: tracked.finding.sizeDb,
  };
  leader.finding = { ...leader.finding, evidence: { ...evidence, alsoDb: also } };
  changed.add(leader);
}
