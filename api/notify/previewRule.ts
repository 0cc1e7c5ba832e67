import type { Db } from '../../ingest/store/database.ts';
import type { Preview } from '../schemas/notify.ts';
import { type AlertDossier, loadStories } from './loadStories.ts';
import { localTime } from './localTime.ts';
import { type ReplayedMessage, replay } from './replay.ts';
import type { RuleTerms } from './rule.ts';
import { ruleSentence } from './ruleSentence.ts';
import { checkNamed, namesFor } from './ruleViews.ts';
import { hoursOf, loadTargets, targetTitle } from './targets.ts';

const DAYS = 30;
const DAY_MS = 86_400_000;
const SHOWN_MESSAGES = 10;
const SHOWN_ALERTS = 5;

/** What a rule would have sent over the last 30 days, by the steps that the live run takes. */
export async function previewRule(
  db: Db,
  terms: RuleTerms,
  timeZone: string,
  nowMs: number,
): Promise<Preview> {
  const targets = await loadTargets(db);
  const names = await namesFor(db, [terms], targets);
  checkNamed(terms, names);
  const fromMs = nowMs - DAYS * DAY_MS;
  const stories = await storiesSince(db, fromMs);
  const byTarget = new Map(targets.map((target) => [target.row.target_id, target]));
  const rule = { ...terms, ruleId: 0, enabled: true, sinceMs: fromMs };
  const hours = (id: number) => hoursOf(byTarget.get(id)!);
  const messages = replay(rule, stories, hours, fromMs, nowMs);

  const byAlert = new Map(stories.map((story) => [story.alert.alertId, story]));
  const told = [...new Set(terms.steps.flatMap(({ targetIds }) => targetIds))];
  return {
    sentence: ruleSentence(terms, names),
    fromAt: new Date(fromMs).toISOString(),
    toAt: new Date(nowMs).toISOString(),
    messages: messages.length,
    targets: told.map((targetId) => ({
      targetId,
      name: targetTitle(byTarget.get(targetId)!),
      messages: messages.filter((message) => message.targetId === targetId).length,
    })),
    days: daysOf(messages, timeZone, nowMs),
    latest: messages
      .slice(-SHOWN_MESSAGES)
      .reverse()
      .map((message) => shown(message, targetTitle(byTarget.get(message.targetId)!), byAlert)),
  };
}

/** Alerts with a change since then, with their whole histories. */
async function storiesSince(db: Db, fromMs: number): Promise<AlertDossier[]> {
  const rows = await db
    .selectFrom('alert_change')
    .select('alert_id')
    .distinct()
    .where('at', '>=', new Date(fromMs))
    .execute();
  return loadStories(
    db,
    rows.map(({ alert_id }) => alert_id),
  );
}

function daysOf(messages: readonly ReplayedMessage[], timeZone: string, nowMs: number): Preview['days'] {
  const dates = Array.from(
    { length: DAYS },
    (_, i) => localTime(nowMs - (DAYS - 1 - i) * DAY_MS, timeZone).date,
  );
  const counts = new Map<string, number>();
  for (const { sendMs } of messages) {
    const { date } = localTime(sendMs, timeZone);
    counts.set(date, (counts.get(date) ?? 0) + 1);
  }
  return [...new Set(dates)].map((date) => ({ date, messages: counts.get(date) ?? 0 }));
}

function shown(
  { sendMs, held, items }: ReplayedMessage,
  target: string,
  byAlert: ReadonlyMap<number, AlertDossier>,
): Preview['latest'][number] {
  return {
    at: new Date(sendMs).toISOString(),
    target,
    held,
    alerts: items.slice(0, SHOWN_ALERTS).map(({ alertId, what, step }) => {
      const { row, where } = byAlert.get(alertId)!;
      return { alertId, severity: row.severity, title: row.title, where, what, step };
    }),
    more: Math.max(0, items.length - SHOWN_ALERTS),
  };
}
