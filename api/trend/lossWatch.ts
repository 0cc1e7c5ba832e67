import { track } from './findings.ts';
import { keyOf, type Tracked, type TrendState } from './state.ts';
import { DAY_MS, type Finding, type FindingKind, HOUR_MS, type Observation } from './types.ts';

/** Two sweeps in a row make a loss, and two end it. */
const SWEEPS_TO_CONFIRM = 2;

/** Watches for lost channels and a lost feed. `state.lastMs` is still that of the sweep before. Changes `state`. */
export function watchLoss(state: TrendState, observation: Observation, changed: Set<Tracked>): void {
  watchFeed(state, observation, changed);
  if (observation.feedLost) return;
  watchReturn(state, observation, changed);
  watchChannels(state, observation, changed);
}

function watchFeed(
  state: TrendState,
  { atMs, feedLost, channels }: Observation,
  changed: Set<Tracked>,
): void {
  const { loss } = state;
  const open = state.tracked.find((t) => t.finding.kind === 'outage' && t.finding.closedMs === null);
  if (feedLost) {
    loss.feedBackSweeps = 0;
    if (loss.feedLostSweeps++ === 0) {
      loss.feedLostSinceMs = atMs;
      loss.feedLostPriorMs = state.lastMs ?? atMs;
    }
    if (open || loss.feedLostSweeps < SWEEPS_TO_CONFIRM) return;
    if (reopen(state, 'outage', loss.feedLostSinceMs, null, changed)) return;
    const finding = lossFinding('outage', atMs, loss.feedLostSinceMs, loss.feedLostPriorMs, { channels });
    track(
      state,
      { finding, fromDb: 0, peakDb: 0, movingDbPerDay: 0, settlingUntilMs: 0, ledBy: null },
      changed,
    );
    return;
  }
  loss.feedLostSweeps = 0;
  if (!open) return;
  if (loss.feedBackSweeps++ === 0) loss.feedBackSinceMs = atMs;
  if (loss.feedBackSweeps < SWEEPS_TO_CONFIRM) return;
  open.finding = { ...open.finding, closedMs: loss.feedBackSinceMs };
  changed.add(open);
}

function watchReturn(state: TrendState, observation: Observation, changed: Set<Tracked>): void {
  const { loss } = state;
  for (const tracked of openLosses(state)) {
    const key = keyOf(tracked.finding);
    const channels = tracked.finding.evidence['channels'] as string[];
    const still = channels.filter((channel) => !observation.seenChannels.includes(channel));
    if (still.length > 0) {
      loss.returned = loss.returned.filter((entry) => entry.key !== key);
      continue;
    }
    let entry = loss.returned.find((known) => known.key === key);
    if (!entry) {
      entry = { key, sinceMs: observation.atMs, sweeps: 0 };
      loss.returned.push(entry);
    }
    if (++entry.sweeps < SWEEPS_TO_CONFIRM) continue;
    loss.returned = loss.returned.filter((known) => known.key !== key);
    tracked.finding = { ...tracked.finding, closedMs: entry.sinceMs };
    changed.add(tracked);
  }
}

function watchChannels(state: TrendState, observation: Observation, changed: Set<Tracked>): void {
  const { loss } = state;
  const { atMs, lostChannels } = observation;
  if (lostChannels.length === 0) {
    if (loss.pending.length > 0) {
      loss.pending = loss.pending.filter(({ channel }) => !observation.seenChannels.includes(channel));
    }
    return;
  }
  const told = new Set(openLosses(state).flatMap((t) => t.finding.evidence['channels'] as string[]));
  loss.pending = loss.pending.filter(({ channel }) => !observation.seenChannels.includes(channel));
  for (const channel of lostChannels) {
    if (told.has(channel)) continue;
    const pending = loss.pending.find((entry) => entry.channel === channel);
    if (pending) pending.sweeps++;
    else loss.pending.push({ channel, sinceMs: atMs, priorMs: state.lastMs ?? atMs, sweeps: 1 });
  }
  const confirmed = loss.pending.filter((entry) => entry.sweeps >= SWEEPS_TO_CONFIRM);
  if (confirmed.length === 0) return;
  loss.pending = loss.pending.filter((entry) => entry.sweeps < SWEEPS_TO_CONFIRM);
  tell(state, atMs, confirmed, changed);
}

function tell(
  state: TrendState,
  atMs: number,
  confirmed: readonly { channel: string; sinceMs: number; priorMs: number }[],
  changed: Set<Tracked>,
): void {
  const channels = confirmed.map((entry) => entry.channel).sort();
  const sinceMs = Math.min(...confirmed.map((entry) => entry.sinceMs));
  const near = openLosses(state).find(
    (t) => sinceMs - t.finding.onsetMs <= Math.max(HOUR_MS, 2 * state.gapMs),
  );
  if (near) {
    const all = [...(near.finding.evidence['channels'] as string[]), ...channels].sort();
    near.finding = { ...near.finding, evidence: { ...near.finding.evidence, channels: all } };
    changed.add(near);
    return;
  }
  if (reopen(state, 'channel-lost', sinceMs, channels, changed)) return;
  const priorMs = Math.min(...confirmed.map((entry) => entry.priorMs));
  const finding = lossFinding('channel-lost', atMs, sinceMs, priorMs, { channels });
  track(
    state,
    { finding, fromDb: 0, peakDb: 0, movingDbPerDay: 0, settlingUntilMs: 0, ledBy: null },
    changed,
  );
}

/** What comes back within a day of its end is the same event: a loose contact, not ten faults. */
function reopen(
  state: TrendState,
  kind: FindingKind,
  sinceMs: number,
  channels: readonly string[] | null,
  changed: Set<Tracked>,
): boolean {
  const same = state.tracked.find((t) => {
    const { closedMs, evidence } = t.finding;
    if (t.finding.kind !== kind || closedMs === null || sinceMs - closedMs > DAY_MS) return false;
    return (
      channels === null || channels.some((channel) => (evidence['channels'] as string[]).includes(channel))
    );
  });
  if (!same) return false;
  const { evidence } = same.finding;
  const all =
    channels === null
      ? evidence['channels']
      : [...new Set([...(evidence['channels'] as string[]), ...channels])].sort();
  const times = ((evidence['times'] as number | undefined) ?? 1) + 1;
  same.finding = { ...same.finding, closedMs: null, evidence: { ...evidence, channels: all, times } };
  changed.add(same);
  return true;
}

function openLosses(state: TrendState): Tracked[] {
  return state.tracked.filter((t) => t.finding.kind === 'channel-lost' && t.finding.closedMs === null);
}

function lossFinding(
  kind: FindingKind,
  detectedMs: number,
  onsetMs: number,
  priorMs: number,
  evidence: Record<string, unknown>,
): Finding {
  return {
    kind,
    metric: 'channels',
    detectedMs,
    onsetMs,
    onsetLowMs: priorMs,
    onsetHighMs: onsetMs,
    sizeDb: 0,
    sizeLowDb: 0,
    sizeHighDb: 0,
    slopeDbPerDay: null,
    slopeLowDbPerDay: null,
    slopeHighDbPerDay: null,
    daysToLimit: null,
    limitName: null,
    closedMs: null,
    evidence,
  };
}
