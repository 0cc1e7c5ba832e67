import { atPoint } from './eventState.ts';
import { forecast } from './forecast.ts';
import { perDbOf } from './slow/scan.ts';
import type { EventAt, EventState, PointTrend, SiteTrend } from './state.ts';
import { upstreamOf } from './tree.ts';
import type { Finding, Metric, Side, SitePoint } from './types.ts';

/** A tenth at either end would do if every sweep that shows a change were seen to; a little less of it allows for those that aren't. */
const TRIMMED = 0.08;
const TOLD_BY_SWEEPS: readonly EventState['kind'][] = ['step', 'channel-lost', 'outage'];

export interface Published {
  readonly changed: Finding[];
  readonly gone: { readonly event: number; readonly pointId: number }[];
}

/** Tells every event that has something new to tell, and that waits for nobody any more. Changes what was told last. */
export function publish(trend: SiteTrend, site: readonly SitePoint[], atMs: number): Published {
  const published: Published = { changed: [], gone: [] };
  for (const event of trend.shared.events) {
    if (event.told.length === 0 && atMs < event.waitingUntilMs && event.closedMs === null) continue;
    const findings = findingsOf(trend, site, event);
    for (const finding of findings) {
      const before = event.told.find(({ pointId }) => pointId === finding.pointId);
      if (before === undefined || JSON.stringify(before) !== JSON.stringify(finding))
        published.changed.push(finding);
    }
    for (const { pointId } of event.told) {
      if (!findings.some((finding) => finding.pointId === pointId))
        published.gone.push({ event: event.event, pointId });
    }
    event.told = findings;
  }
  return published;
}

function findingsOf(trend: SiteTrend, site: readonly SitePoint[], event: EventState): Finding[] {
  const root = event.at.find(({ pointId }) => pointId === event.root) ?? event.at[0];
  if (root === undefined) return [];
  const hopFrom =
    upstreamOf(site, event.root).find(({ pointId }) => trend.points[pointId]?.reference)?.pointId ?? null;
  const side = sideOf(site, event, hopFrom);
  return event.at.map((at) => findingAt(trend, event, at, root.pointId, hopFrom, side));
}

/** What shows at the handoff already is the provider's; between two points that were read, the building's. */
function sideOf(site: readonly SitePoint[], event: EventState, hopFrom: number | null): Side {
  if (event.kind === 'instrument-change') return 'unsure';
  const handoffs = site.filter(({ isHandoff }) => isHandoff).map(({ pointId }) => pointId);
  const isAtHandoff = handoffs.includes(event.root);
  if (event.alsoPossible.some((id) => handoffs.includes(id) !== isAtHandoff)) return 'unsure';
  if (isAtHandoff) return 'provider';
  return hopFrom === null || (!event.sure && event.alsoPossible.length === 0) ? 'unsure' : 'building';
}

function findingAt(
  trend: SiteTrend,
  event: EventState,
  at: EventAt,
  leader: number,
  hopFrom: number | null,
  side: Side,
): Finding {
  const closedMs = at.closedMs ?? event.closedMs;
  const point = trend.points[at.pointId];
  return {
    event: event.event,
    pointId: at.pointId,
    kind: event.kind,
    metric: event.metric,
    shape: event.shape,
    detectedMs: event.detectedMs,
    ...onsetOf(event),
    sizeDb: at.sizeDb,
    sizeLowDb: at.sizeLowDb,
    sizeHighDb: at.sizeHighDb,
    ...slopesOf(event, point),
    ...(closedMs === null ? leftOf(trend, event, at.pointId) : { daysToLimit: null, limitName: null }),
    closedMs,
    side,
    hopFrom,
    hopTo: leader,
    alsoPossible: event.alsoPossible,
    explainedBy: at.pointId === leader ? null : leader,
    evidence: event.evidence,
  };
}

/** What single sweeps tell came at some moment between the last one without it and the first with it, one as likely as another. */
function onsetOf(event: EventState): Pick<Finding, 'onsetMs' | 'onsetLowMs' | 'onsetHighMs'> {
  const { onsetMs, onsetLowMs, onsetHighMs } = event;
  if (event.slow !== null || !TOLD_BY_SWEEPS.includes(event.kind))
    return { onsetMs, onsetLowMs, onsetHighMs };
  const at = (share: number) => Math.round(onsetLowMs + share * (onsetHighMs - onsetLowMs));
  return { onsetMs: at(0.5), onsetLowMs: at(TRIMMED), onsetHighMs: at(1 - TRIMMED) };
}

type Slopes = Pick<Finding, 'slopeDbPerDay' | 'slopeLowDbPerDay' | 'slopeHighDbPerDay'>;

function slopesOf({ slow, feature, kind }: EventState, point: PointTrend | undefined): Slopes {
  if (slow === null || kind !== 'drift' || feature === null || point === undefined) {
    return { slopeDbPerDay: null, slopeLowDbPerDay: null, slopeHighDbPerDay: null };
  }
  const share = perDbOf(slow, point)[feature] ?? 0;
  const [low, high] = [share * slow.rateLow, share * slow.rateHigh].sort((a, b) => a - b) as [number, number];
  return {
    slopeDbPerDay: round(share * slow.rate),
    slopeLowDbPerDay: round(low),
    slopeHighDbPerDay: round(high),
  };
}

function leftOf(
  trend: SiteTrend,
  event: EventState,
  pointId: number,
): Pick<Finding, 'daysToLimit' | 'limitName'> {
  const { slow, kind } = event;
  const point = trend.points[pointId];
  if (slow === null || kind !== 'drift' || point === undefined || point.reference === null)
    return { daysToLimit: null, limitName: null };
  const { levelDbmv, tiltDb, merMarginDb, limits } = point.reference;
  const { tilt = 0, mer = 0 } = perDbOf(slow, point);
  const most = slow.shape === 'mer' ? 0 : (point.shapes?.[slow.shape].most ?? 0);
  const others = othersAt(trend, event, pointId);
  const course = { sizeDb: slow.sizeDb, rateDbPerDay: slow.rate, spread: slow.spread };
  // A window of levels holds for each channel, so the one that is moved most counts.
  return forecast(
    course,
    {
      level: { withoutDb: levelDbmv + others.level, perDb: most },
      tilt: { withoutDb: tiltDb + others.tilt, perDb: tilt },
      ...(merMarginDb === null ? {} : { mer: { withoutDb: merMarginDb + others.mer, perDb: mer } }),
    },
    limits,
  );
}

/** What the other changes that stand at a point add to its figures, dB. */
function othersAt(trend: SiteTrend, event: EventState, pointId: number): Record<Metric, number> {
  const sum = { level: 0, tilt: 0, flatness: 0, mer: 0, channels: 0 };
  for (const other of trend.shared.events) {
    if (other === event || other.closedMs !== null || (other.kind !== 'step' && other.kind !== 'drift'))
      continue;
    const at = atPoint(other, pointId);
    if (at !== undefined && at.closedMs === null) sum[other.metric] += at.sizeDb;
  }
  return sum;
}

function round(value: number): number {
  return Math.round(value * 1e4) / 1e4;
}
