import type { Db } from '../../ingest/store/database.ts';
import { InvalidInput } from '../errors.ts';
import type { RuleView } from '../schemas/notify.ts';
import type { Rule, RuleTerms } from './rule.ts';
import { type RuleNames, ruleSentence } from './ruleSentence.ts';
import { findRule } from './rules.ts';
import { loadTargets, type Target, targetTitle } from './targets.ts';

/** Names for what the rules name by number. */
export async function namesFor(
  db: Db,
  rules: readonly RuleTerms[],
  targets: readonly Target[],
): Promise<RuleNames> {
  const siteIds = [...new Set(rules.flatMap(({ about }) => about.siteIds ?? []))];
  const sites = siteIds.length === 0 ? [] : await siteNames(db, siteIds);
  const providers = await db.selectFrom('provider').select(['provider_id', 'name']).execute();
  const siteName = new Map(sites.map(({ site_id, name }) => [site_id, name]));
  const providerName = new Map(providers.map(({ provider_id, name }) => [provider_id, name]));
  const targetName = new Map(targets.map((target) => [target.row.target_id, targetTitle(target)]));
  return {
    site: (id) => siteName.get(id) ?? null,
    provider: (id) => providerName.get(id) ?? null,
    target: (id) => targetName.get(id) ?? null,
  };
}

export function ruleView(rule: Rule, names: RuleNames): RuleView {
  const { ruleId, name, about, delayMin, steps, tellsWorse, tellsReturn, throughQuiet, enabled } = rule;
  const { siteIds, providerIds, ...rest } = about;
  return {
    ruleId,
    name,
    about: { ...rest, siteIds: siteIds && [...siteIds], providerIds: providerIds && [...providerIds] },
    delayMin,
    steps: steps.map((step) => ({ ...step, targetIds: [...step.targetIds] })),
    tellsWorse,
    tellsReturn,
    throughQuiet,
    enabled,
    sentence: ruleSentence(rule, names),
    sites: (siteIds ?? []).map((siteId) => ({ siteId, name: names.site(siteId) ?? 'a site that is gone' })),
  };
}

/** One rule as people read it. Throws 404 when there is no such rule. */
export async function findRuleView(db: Db, ruleId: number): Promise<RuleView> {
  const rule = await findRule(db, ruleId);
  return ruleView(rule, await namesFor(db, [rule], await loadTargets(db)));
}

/** Throws InvalidInput when the rule names what isn't there. */
export function checkNamed(terms: RuleTerms, names: RuleNames): void {
  const faults: Record<string, string> = {};
  for (const [index, { targetIds }] of terms.steps.entries()) {
    if (targetIds.some((id) => names.target(id) === null))
      faults[`steps.${index}.targetIds`] = 'names somebody who is gone: choose again';
  }
  if (terms.about.siteIds?.some((id) => names.site(id) === null))
    faults['about.siteIds'] = 'names a site that is gone';
  if (terms.about.providerIds?.some((id) => names.provider(id) === null))
    faults['about.providerIds'] = 'names a provider that is gone';
  if (Object.keys(faults).length > 0) throw new InvalidInput(faults);
}

function siteNames(db: Db, siteIds: readonly number[]) {
  return db.selectFrom('site').select(['site_id', 'name']).where('site_id', 'in', siteIds).execute();
}
