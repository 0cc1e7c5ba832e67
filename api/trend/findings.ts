import { keyOf, type Tracked, type TrendState } from './state.ts';
import { DAY_MS, type Metric } from './types.ts';

const MOST_TRACKED = 20;

/** Remembers a finding and reports it, unless another tells of the same event. Changes `state`. */
export function track(state: TrendState, tracked: Tracked, changed: Set<Tracked>): void {
  state.tracked.push(tracked);
  changed.add(tracked);
  if (state.tracked.length <= MOST_TRACKED) return;
  const leaving = state.tracked.find((t) => t.finding.closedMs !== null) ?? (state.tracked[0] as Tracked);
  if (leaving.finding.closedMs === null)
    close(leaving, tracked.finding.detectedMs, changed, 'newer findings');
  state.tracked = state.tracked.filter((t) => t !== leaving);
}

/** Ends a finding; `because` says what ended it when the reading did not simply return. */
export function close(tracked: Tracked, atMs: number, changed: Set<Tracked>, because?: string): void {
  const { finding } = tracked;
  const evidence = because === undefined ? finding.evidence : { ...finding.evidence, closedBy: because };
  tracked.finding = { ...finding, closedMs: Math.max(atMs, finding.onsetMs), evidence };
  changed.add(tracked);
}

/** Open steps and drifts of a metric, oldest first, told or not. */
export function openOf(state: TrendState, metric: Metric): Tracked[] {
  return state.tracked.filter(
    ({ finding }) =>
      finding.metric === metric &&
      finding.closedMs === null &&
      (finding.kind === 'step' || finding.kind === 'drift'),
  );
}

/** Forgets what closed more than a day ago, and lets a finding speak whose leader has closed before it. */
export function tidy(state: TrendState, atMs: number, changed: Set<Tracked>): void {
  state.tracked = state.tracked.filter(
    ({ finding }) => finding.closedMs === null || atMs - finding.closedMs <= DAY_MS,
  );
  for (const tracked of state.tracked) {
    if (tracked.ledBy === null || tracked.finding.closedMs !== null) continue;
    const leader = state.tracked.find((t) => keyOf(t.finding) === tracked.ledBy);
    if (leader && leader.finding.closedMs === null) continue;
    tracked.ledBy = null;
    changed.add(tracked);
  }
}
