import type { Db } from '../../ingest/store/database.ts';
import type { FrozenContent } from './frozenContent.ts';
import { isAbout, isNearEnough } from './isAbout.ts';
import { type AlertDossier, loadStories } from './loadStories.ts';
import { localTime } from './localTime.ts';
import { digestMessage } from './message/digest.ts';
import { TRIES } from './retryDelay.ts';
import type { Rule } from './rule.ts';
import { loadRules } from './rules.ts';
import { loadTargets, sentTo, type Target } from './targets.ts';

const DAY_MS = 86_400_000;
/** A digest that nobody could send at its hour is still sent within this. */
const LATE_MIN = 12 * 60;

/**
 * Writes the digests that are due: daily ones on working days, weekly ones on the first working day of the week, each once, at the hour
 * on the reader's clock. A digest tells of what the rules that name its reader are about; where no rule does, of everything.
 */
export async function planDigests(db: Db, origin: string, nowMs: number): Promise<void> {
  const due = (await loadTargets(db)).flatMap((target) => dueDigests(target, nowMs));
  if (due.length === 0) return;
  const taken = await takenKeys(
    db,
    due.map(({ key }) => key),
  );
  const fresh = due.filter(({ key }) => !taken.has(key));
  if (fresh.length === 0) return;
  const rules = (await loadRules(db)).filter(({ enabled }) => enabled);
  for (const digest of fresh) await writeDigest(db, digest, rules, origin, nowMs);
}

interface DueDigest {
  readonly target: Target;
  readonly kind: 'daily' | 'weekly';
  readonly key: string;
}

/** The digest that a target is to get at this time of its day, if any; the weekly one stands for that day's. */
export function dueDigests(target: Target, nowMs: number): DueDigest[] {
  const { row } = target;
  if (row.kind === 'webhook' || target.disabled) return [];
  const { date, minuteOfDay, weekday } = localTime(nowMs, row.time_zone);
  if (minuteOfDay < row.digest_min || minuteOfDay >= row.digest_min + LATE_MIN) return [];
  if (!row.work_days.includes(weekday)) return [];
  const weekly = row.weekly && weekday === Math.min(...row.work_days);
  if (!weekly && !row.daily) return [];
  const kind = weekly ? 'weekly' : 'daily';
  return [{ target, kind, key: `${kind} ${row.target_id} ${date}` }];
}

async function takenKeys(db: Db, keys: readonly string[]): Promise<Set<string>> {
  const rows = await db.selectFrom('delivery').select('once_key').where('once_key', 'in', keys).execute();
  return new Set(rows.map(({ once_key }) => once_key!));
}

async function writeDigest(
  db: Db,
  { target, kind, key }: DueDigest,
  rules: readonly Rule[],
  origin: string,
  nowMs: number,
): Promise<void> {
  const targetId = target.row.target_id;
  const sinceMs = await beginMs(db, targetId, kind, nowMs);
  const dossiers = (await recentAlerts(db, sinceMs)).filter((dossier) => isFor(targetId, rules, dossier));
  const reader = { timeZone: target.row.time_zone, origin, nowMs };
  const message = digestMessage(kind, dossiers, sinceMs, kind === 'weekly', reader);
  const content: FrozenContent | null = message && { form: 'mail', message };
  const at = new Date(nowMs);
  await db
    .insertInto('delivery')
    .values({
      target_id: targetId,
      kind,
      held: false,
      once_key: key,
      created_at: at,
      send_at: at,
      tries_left: TRIES,
      sent_to: sentTo(target),
      ...(content
        ? { state: 'waiting', content: JSON.stringify(content) }
        : { state: 'dropped', ended_at: at, why: 'nothing to tell that day' }),
    })
    .onConflict((conflict) => conflict.column('once_key').doNothing())
    .execute();
}

/** Where the digest begins: a week ago, or for a daily one at the digest before it. */
async function beginMs(db: Db, targetId: number, kind: 'daily' | 'weekly', nowMs: number): Promise<number> {
  if (kind === 'weekly') return nowMs - 7 * DAY_MS;
  const last = await db
    .selectFrom('delivery')
    .select('created_at')
    .where('target_id', '=', targetId)
    .where('kind', 'in', ['daily', 'weekly'])
    .orderBy('created_at', 'desc')
    .limit(1)
    .executeTakeFirst();
  return last?.created_at.getTime() ?? nowMs - DAY_MS;
}

async function recentAlerts(db: Db, sinceMs: number): Promise<AlertDossier[]> {
  const since = new Date(sinceMs);
  const rows = await db
    .selectFrom('alert')
    .select('alert_id')
    .where((eb) =>
      eb.or([eb('closed_at', 'is', null), eb('closed_at', '>=', since), eb('returned_at', '>=', since)]),
    )
    .execute();
  return loadStories(
    db,
    rows.map(({ alert_id }) => alert_id),
  );
}

function isFor(targetId: number, rules: readonly Rule[], { alert }: AlertDossier): boolean {
  const mine = rules.filter(({ steps }) => steps.some(({ targetIds }) => targetIds.includes(targetId)));
  return (
    mine.length === 0 ||
    mine.some(({ about }) => isAbout(about, alert, alert.severity) && isNearEnough(about, alert))
  );
}
