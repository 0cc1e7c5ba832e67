import type { EventAt, EventState, SiteTrend } from './state.ts';
import { subtree } from './tree.ts';
import type { SitePoint } from './types.ts';

/** What every new event begins with; the caller fills in what it is. */
export function beginEvent(
  trend: SiteTrend,
  event: Pick<
    EventState,
    'kind' | 'metric' | 'detectedMs' | 'onsetMs' | 'onsetLowMs' | 'onsetHighMs' | 'root'
  > &
    Partial<EventState>,
): EventState {
  const begun: EventState = {
    event: trend.shared.nextEvent++,
    feature: null,
    shape: null,
    alsoPossible: [],
    sure: true,
    slow: null,
    at: [],
    closedMs: null,
    settlingUntilMs: event.detectedMs,
    waitingUntilMs: event.detectedMs,
    evidence: {},
    told: [],
    ...event,
  };
  trend.shared.events.push(begun);
  return begun;
}

export function startAt(pointId: number): EventAt {
  return {
    pointId,
    sizeDb: 0,
    sizeLowDb: 0,
    sizeHighDb: 0,
    before: null,
    change: null,
    sweeps: 0,
    closedMs: null,
    conclusion: null,
    back: null,
  };
}

export function atPoint(event: EventState, pointId: number): EventAt | undefined {
  return event.at.find((at) => at.pointId === pointId);
}

/** One of the two points feeds the other, at whatever distance. */
export function areRelated(site: readonly SitePoint[], a: number, b: number): boolean {
  return subtree(site, a).has(b) || subtree(site, b).has(a);
}

export function closeEvent(event: EventState, atMs: number): void {
  event.closedMs = Math.max(atMs, event.onsetMs);
  for (const at of event.at) at.closedMs ??= event.closedMs;
}
