import { sql } from 'kysely';
import type { Db } from '../../../ingest/store/database.ts';
import type { AlertRow } from '../../../ingest/store/schema.ts';
import { insertAlert, writeMove } from '../alertRows.ts';
import { likenessOf } from '../causeKey.ts';
import { onDelayMs } from '../delays.ts';
import { applyHold, beginMove, type Hold, moveAlert, newAlert, OURSELVES, type Seen } from '../moveAlert.ts';
import { type Cluster, isNear, largestCluster, type Member, onePerSite } from './clusters.ts';
import { addEventFindings, loadEventFindings } from './eventFindings.ts';
import { knownRate } from './knownRate.ts';
import { loadProvider, type ProviderState } from './loadProvider.ts';
import { isNearEvent } from './standingEvents.ts';
import { tellEvent } from './tellEvent.ts';

/** An event is over once fewer than this share of its sites show it; those that are left are told of by themselves. Common practice, no source. */
const STANDS_FROM_SHARE = 0.25;
const STANDS_FROM_SITES = 2;

/**
 * Brings the events of a provider up to date with what its sites show: alerts of one change at many sites become part of one event, and
 * come back by themselves when they outlast it. One at a time for each provider; may be repeated.
 */
export async function syncProvider(db: Db, providerId: number, nowMs: number): Promise<void> {
  await db.transaction().execute(async (trx) => {
    await sql`select pg_advisory_xact_lock(hashtext('provider events'), ${providerId}::int)`.execute(trx);
    const state = await loadProvider(trx, providerId, nowMs);
    if (state === null) return;
    const left = new Set(state.members);
    for (const event of state.events) {
      const alike = [...left].filter((member) => belongsTo(member, event));
      const showing = withCompany(alike, [...left]);
      for (const member of showing) left.delete(member);
      await moveEvent(trx, state, event, { alike, showing }, nowMs);
    }
    for (let found = await nextCluster(trx, state, left, nowMs); found !== null; ) {
      const showing = withCompany(found.members, [...left]);
      for (const member of showing) left.delete(member);
      await beginEvent(trx, state, found, showing, nowMs);
      found = await nextCluster(trx, state, left, nowMs);
    }
  });
}

function belongsTo(member: Member, event: AlertRow): boolean {
  return member.likeness === event.cause_key && isNearEvent(member, event);
}

/** The members of an event together with what else began at their sites at the time: a feed that falls takes its MER along. */
function withCompany(alike: readonly Member[], members: readonly Member[]): Member[] {
  return members.filter((member) =>
    alike.some(
      (other) =>
        other === member ||
        (other.siteId === member.siteId &&
          (other.kind === null) === (member.kind === null) &&
          isNear(other, member)),
    ),
  );
}

async function moveEvent(
  trx: Db,
  state: ProviderState,
  event: AlertRow,
  { alike, showing }: { alike: readonly Member[]; showing: readonly Member[] },
  nowMs: number,
): Promise<void> {
  const { parts } = state;
  const known = await loadEventFindings(trx, event.alert_id);
  const joined = new Set([
    ...known.siteIds,
    ...alike.map(({ siteId }) => siteId),
    ...parts.filter(({ part_of }) => part_of === event.alert_id).map(({ site_id }) => site_id!),
  ]).size;
  const sites = onePerSite(alike);
  const stands = sites.length >= Math.max(STANDS_FROM_SITES, Math.ceil(STANDS_FROM_SHARE * joined));
  const seen = stands ? keepOnset(tellEvent(sites, joined, state.place), event) : null;
  const move = moveAlert(event, seen, { nowMs, tellFromMs: nowMs, goneMs: nowMs, hold: null });
  await writeMove(trx, event, move, OURSELVES, nowMs);
  await addEventFindings(trx, event.alert_id, showing, known.keys);

  const isOver = move.row.returned_at !== null;
  for (const part of parts) {
    const isPart = part.part_of === event.alert_id;
    if (isOver && isPart) await setHold(trx, part, null, nowMs);
    else if (!isOver && (isPart || showing.some((member) => isAlertOf(part, member))))
      await setHold(trx, part, holdBy(move.row), nowMs);
  }
}

async function beginEvent(
  trx: Db,
  state: ProviderState,
  { members, chance }: Cluster,
  showing: readonly Member[],
  nowMs: number,
): Promise<void> {
  const seen = tellEvent(members, members.length, state.place);
  const place = { kind: 'provider-event' as const, site_id: null, provider_id: state.providerId };
  const { row, change } = newAlert(seen, place, { nowMs, hold: null });
  const why = `${seen.title}. ${chanceWords(chance)}`;
  const alertId = await insertAlert(trx, row, { ...change, why }, nowMs);
  await addEventFindings(trx, alertId, showing, new Set());
  for (const part of state.parts) {
    if (showing.some((member) => isAlertOf(part, member)))
      await setHold(trx, part, holdBy({ alert_id: alertId, title: seen.title }), nowMs);
  }
}

function chanceWords(chance: number): string {
  const odds = chance < 1e-6 ? 'less than 1 time in a million' : `1 time in ${Math.round(1 / chance)}`;
  return `By chance so many would change together ${odds}.`;
}

/** The range of onsets stays that of the sites that made the event, so that it doesn't creep from site to site. */
function keepOnset(seen: Seen, event: AlertRow): Seen {
  return {
    ...seen,
    onsetMs: event.onset_at.getTime(),
    onsetLowMs: event.onset_low_at.getTime(),
    onsetHighMs: event.onset_high_at.getTime(),
  };
}

function holdBy({ alert_id, title }: Pick<AlertRow, 'alert_id' | 'title'>): Hold {
  return { kind: 'joined', why: title, partOf: alert_id, untilMs: null };
}

async function setHold(trx: Db, part: AlertRow, hold: Hold | null, nowMs: number): Promise<void> {
  const move = beginMove(part);
  applyHold(move, hold, nowMs);
  await writeMove(trx, part, move, OURSELVES, nowMs);
}

function isAlertOf(alert: AlertRow, member: Member): boolean {
  return (
    alert.site_id === member.siteId &&
    likenessOf(alert.cause_key) === member.likeness &&
    isNearEvent(member, alert)
  );
}

/** The largest gathering among members that are part of no event yet. */
async function nextCluster(
  trx: Db,
  { providerId, place }: ProviderState,
  left: ReadonlySet<Member>,
  nowMs: number,
): Promise<Cluster | null> {
  let next: Cluster | null = null;
  const told = [...left].filter((member) => mayBegin(member, nowMs));
  for (const [likeness, alike] of Map.groupBy(told, (member) => member.likeness)) {
    if (onePerSite(alike).length < 2) continue;
    const beforeMs = Math.min(...alike.map(({ onsetLowMs }) => onsetLowMs));
    const rate = await knownRate(trx, { providerId, likeness, beforeMs }, nowMs);
    const cluster = largestCluster(alike, place.siteNames.size, rate);
    if (cluster !== null && cluster.members.length > (next?.members.length ?? 0)) next = cluster;
  }
  return next;
}

/** Silence counts once it has been seen for as long as at one site; what the engine found out counts at once. */
function mayBegin({ kind, firstSeenMs, severity }: Member, nowMs: number): boolean {
  return kind !== null || nowMs >= firstSeenMs + onDelayMs(severity);
}
