import type { Db } from '../../ingest/store/database.ts';
import { withAccounts } from '../accounts/tables.ts';
import type { NotifyConfig } from '../config.ts';
import type { NotifyView, TargetView } from '../schemas/notify.ts';
import { reachOf } from './reach.ts';
import type { Rule } from './rule.ts';
import { loadRules } from './rules.ts';
import { namesFor, ruleView } from './ruleViews.ts';
import { loadTargets, type Target } from './targets.ts';

/** Rules as sentences, whom they can tell, and whom else they could. */
export async function notifyView(db: Db, { mail }: NotifyConfig): Promise<NotifyView> {
  const [rules, targets] = [await loadRules(db), await loadTargets(db)];
  const names = await namesFor(db, rules, targets);
  const known = new Set(targets.map(({ row }) => row.person_id));
  const people = await withAccounts(db)
    .selectFrom('person')
    .select(['id as personId', 'name', 'email'])
    .where('disabled', '=', false)
    .orderBy('name')
    .orderBy('id')
    .execute();
  return {
    mailFrom: mail?.from ?? null,
    targets: targets.map((target) => targetView(target, rules)),
    rules: rules.map((rule) => ruleView(rule, names)),
    people: people.filter(({ personId }) => !known.has(personId)),
  };
}

function targetView({ row, name, address, disabled }: Target, rules: readonly Rule[]): TargetView {
  return {
    targetId: row.target_id,
    kind: row.kind,
    name,
    address,
    url: row.url,
    disabled,
    reach: row.kind === 'webhook' ? null : reachOf(row),
    rules: rules.filter(({ steps }) => steps.some(({ targetIds }) => targetIds.includes(row.target_id)))
      .length,
  };
}
