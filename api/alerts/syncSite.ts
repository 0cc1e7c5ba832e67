import type { Db } from '../../ingest/store/database.ts';
import type { AlertRow } from '../../ingest/store/schema.ts';
import { windowAt } from '../maintenance/window.ts';
import { windowsFor } from '../maintenance/windowsAt.ts';
import type { RankedSite } from '../risk/refreshSiteRisk.ts';
import { loadSiteCauses } from '../risk/siteCauses.ts';
import { insertAlert, lockSiteAlerts, writeFindings, writeMove } from './alertRows.ts';
import { likenessOf } from './causeKey.ts';
import type { Condition } from './conditions.ts';
import { GATHER_MS, onDelayMs } from './delays.ts';
import { type KnownAlert, matchAlerts } from './matchAlerts.ts';
import { type Hold, moveAlert, newAlert, OURSELVES } from './moveAlert.ts';
import { isNearEvent, standingEvents } from './provider/standingEvents.ts';
import { isShared, type SharedCondition, sharedCondition } from './sharedConditions.ts';
import { tellConditions } from './tellConditions.ts';

export interface SiteSynced {
  /** When the site has to be looked at though nothing comes in; null: never. */
  readonly dueMs: number | null;
  readonly shared: readonly SharedCondition[];
  /** Some of `shared` is part of no event of the provider: it may begin one, together with other sites. */
  readonly mayGather: boolean;
}

/** Moves the alerts of one site on and raises new ones, inside a transaction that holds the site. */
export async function syncSite(
  trx: Db,
  ranked: RankedSite,
  conditions: readonly Condition[],
  known: readonly SharedCondition[],
  nowMs: number,
): Promise<SiteSynced> {
  const { site_id: siteId, provider_id: providerId } = ranked.site.row;
  const shared = conditions.filter(isShared).map((condition) => sharedCondition(condition, known, nowMs));
  const alerts = await lockSiteAlerts(trx, siteId, nowMs);
  const { byAlert, unmatched } = matchAlerts(conditions, alerts);
  const causesOf = await loadSiteCauses(trx, ranked.site);
  const events = providerId === null ? [] : await standingEvents(trx, providerId);
  const hasOthers = providerId !== null && (await hasOtherSites(trx, providerId, siteId));
  const onsets = [
    ...alerts.map(({ row }) => row.onset_at.getTime()),
    ...conditions.map(({ onsetMs }) => onsetMs),
  ];
  const windows = onsets.length === 0 ? [] : await windowsFor(trx, siteId, Math.min(...onsets), nowMs);
  const due: (number | null)[] = [];

  for (const alert of alerts) {
    const matched = byAlert.get(alert.row.alert_id) ?? [];
    const seen =
      matched.length === 0 ? null : tellConditions(ranked, matched, causesOf, nowMs, alert.row.cause_key);
    const move = moveAlert(alert.row, seen, {
      nowMs,
      tellFromMs: Math.min(...matched.map(tellFrom)),
      goneMs: goneMs(ranked, alert, nowMs),
      hold: holdOf(alert.row, matched),
    });
    await writeMove(trx, alert.row, move, OURSELVES, nowMs);
    if (matched.length > 0) await writeFindings(trx, alert.row.alert_id, siteId, refsOf(matched));
    due.push(move.dueMs);
  }
  for (const condition of unmatched.filter(({ isTold }) => isTold)) {
    const tellFromMs = tellFrom(condition);
    if (tellFromMs > nowMs) {
      due.push(tellFromMs);
      continue;
    }
    const seen = tellConditions(ranked, [condition], causesOf, nowMs);
    const hold = holdOf(null, [condition]);
    const place = { kind: 'site' as const, site_id: siteId, provider_id: providerId };
    const { row, change } = newAlert(seen, place, { nowMs, hold });
    const alertId = await insertAlert(trx, row, change, nowMs);
    await writeFindings(trx, alertId, siteId, refsOf([condition]));
    if (hold?.untilMs != null) due.push(hold.untilMs);
  }
  const times = due.filter((time) => time !== null);
  return {
    dueMs: times.length === 0 ? null : Math.min(...times),
    shared,
    mayGather: conditions.some((condition) => isShared(condition) && holdOf(null, [condition]) === null),
  };

  function tellFrom({ causeKey, detectedMs, severity }: Condition): number {
    const firstSeenMs = shared.find((each) => each.causeKey === causeKey)?.firstSeenMs;
    // A server that was away itself finds every site silent at first, until the boxes have sent what they kept.
    const fromMs = (detectedMs ?? firstSeenMs ?? nowMs) + onDelayMs(severity);
    return hasOthers && firstSeenMs !== undefined ? Math.max(fromMs, firstSeenMs + GATHER_MS) : fromMs;
  }

  function holdOf(row: AlertRow | null, matched: readonly Condition[]): Hold | null {
    const event = events.find(
      (standing) =>
        standing.alert_id === row?.part_of ||
        matched.some(
          (condition) =>
            isShared(condition) &&
            likenessOf(condition.causeKey) === standing.cause_key &&
            isNearEvent(condition, standing),
        ),
    );
    if (event !== undefined)
      return { kind: 'joined', why: event.title, partOf: event.alert_id, untilMs: null };
    const window = windowAt(windows, matched[0]?.onsetMs ?? row!.onset_at.getTime());
    if (window === null || window.toMs <= nowMs) return null;
    return { kind: 'suppressed', why: `maintenance: ${window.reason}`, partOf: null, untilMs: window.toMs };
  }
}

function refsOf(conditions: readonly Condition[]): { event: number; pointId: number }[] {
  return conditions.flatMap(({ findings }) => findings.map(({ event, pointId }) => ({ event, pointId })));
}

/** When the last of the alert's findings closed; now when they are no longer there at all. */
function goneMs({ site }: RankedSite, { findings }: KnownAlert, nowMs: number): number {
  const closed = site.findings
    .filter(
      ({ event, point_id, closed_at }) =>
        closed_at !== null && findings.some((ref) => ref.event === event && ref.pointId === point_id),
    )
    .map(({ closed_at }) => closed_at!.getTime());
  return closed.length === 0 ? nowMs : Math.max(...closed);
}

async function hasOtherSites(db: Db, providerId: number, siteId: number): Promise<boolean> {
  const other = await db
    .selectFrom('site')
    .select('site_id')
    .where('provider_id', '=', providerId)
    .where('site_id', '<>', siteId)
    .limit(1)
    .executeTakeFirst();
  return other !== undefined;
}
