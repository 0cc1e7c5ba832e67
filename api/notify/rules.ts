import type { Db } from '../../ingest/store/database.ts';
import type { NotifyRuleRow } from '../../ingest/store/schema.ts';
import { NotFound } from '../errors.ts';
import { noteNear } from './nearSince.ts';
import type { Rule, RuleAbout, RuleStep, RuleTerms } from './rule.ts';

/** All rules, by name. */
export async function loadRules(db: Db): Promise<Rule[]> {
  const rows = await db.selectFrom('notify_rule').selectAll().orderBy('name').orderBy('rule_id').execute();
  return rows.map(ruleOf);
}

export async function addRule(
  db: Db,
  terms: RuleTerms,
  enabled: boolean,
  by: string,
  nowMs: number,
): Promise<number> {
  const { rule_id } = await db
    .insertInto('notify_rule')
    .values({ ...columnsOf(terms), enabled, since: new Date(nowMs), ...changed(by, nowMs) })
    .returning('rule_id')
    .executeTakeFirstOrThrow();
  await noteNear(db, rule_id, terms.about.daysLeftUnder);
  return rule_id;
}

/**
 * Changes a rule. One that is about other alerts now, or is at work again, begins anew: it says nothing of what began before. Else it
 * goes on with what it has begun to tell.
 */
export async function changeRule(
  db: Db,
  ruleId: number,
  terms: RuleTerms,
  enabled: boolean,
  by: string,
  nowMs: number,
): Promise<void> {
  const before = await findRule(db, ruleId);
  const anew =
    JSON.stringify(sorted(before.about)) !== JSON.stringify(sorted(terms.about)) ||
    (enabled && !before.enabled);
  await db
    .updateTable('notify_rule')
    .set({ ...columnsOf(terms), enabled, ...changed(by, nowMs), ...(anew && { since: new Date(nowMs) }) })
    .where('rule_id', '=', ruleId)
    .execute();
  if (!anew) return;
  await db.deleteFrom('notify_near').where('rule_id', '=', ruleId).execute();
  await noteNear(db, ruleId, terms.about.daysLeftUnder);
}

export async function removeRule(db: Db, ruleId: number): Promise<void> {
  const { numDeletedRows } = await db
    .deleteFrom('notify_rule')
    .where('rule_id', '=', ruleId)
    .executeTakeFirst();
  if (numDeletedRows === 0n) throw new NotFound('rule', ruleId);
}

/** Throws 404 when there is no such rule. */
export async function findRule(db: Db, ruleId: number): Promise<Rule> {
  const row = await db.selectFrom('notify_rule').selectAll().where('rule_id', '=', ruleId).executeTakeFirst();
  if (!row) throw new NotFound('rule', ruleId);
  return ruleOf(row);
}

function ruleOf(row: NotifyRuleRow): Rule {
  return {
    ruleId: row.rule_id,
    name: row.name,
    about: row.about as RuleAbout,
    delayMin: row.delay_min,
    steps: row.steps as RuleStep[],
    tellsWorse: row.tells_worse,
    tellsReturn: row.tells_return,
    throughQuiet: row.through_quiet,
    enabled: row.enabled,
    sinceMs: row.since.getTime(),
  };
}

function columnsOf(terms: RuleTerms) {
  return {
    name: terms.name,
    about: JSON.stringify(terms.about),
    delay_min: terms.delayMin,
    steps: JSON.stringify(terms.steps),
    tells_worse: terms.tellsWorse,
    tells_return: terms.tellsReturn,
    through_quiet: terms.throughQuiet,
  };
}

function changed(by: string, nowMs: number) {
  return { changed_by: by, changed_at: new Date(nowMs) };
}

function sorted(about: RuleAbout): [string, unknown][] {
  return Object.entries(about).sort(([a], [b]) => a.localeCompare(b));
}
