import { ruleSentence } from '../../../../api/notify/ruleSentence.ts';
import type { NotifyView, RuleView, SaveRule } from '../../../../api/schemas/notify.ts';
import { targetTitle } from './targetWords.ts';

type Step = { readonly afterMin: string; readonly targetIds: readonly number[] };

/** A rule as a form holds it: figures are text while somebody types. */
export interface RuleDraft extends Omit<SaveRule, 'delayMin' | 'steps' | 'about'> {
  readonly about: Omit<SaveRule['about'], 'daysLeftUnder'> & { readonly daysLeftUnder: string };
  readonly delayMin: string;
  readonly steps: readonly Step[];
}

/** Grave alerts of everywhere to the first who can be told. */
export function newDraft(firstTarget: number | undefined): RuleDraft {
  return {
    name: '',
    about: {
      siteIds: null,
      providerIds: null,
      kind: null,
      severityAtLeast: 'major',
      side: null,
      daysLeftUnder: '',
    },
    delayMin: '0',
    steps: [{ afterMin: '0', targetIds: firstTarget === undefined ? [] : [firstTarget] }],
    tellsWorse: true,
    tellsReturn: true,
    throughQuiet: false,
    enabled: true,
  };
}

export function draftOf(rule: RuleView): RuleDraft {
  const { ruleId: _, sentence: __, sites: ___, ...saved } = rule;
  const { daysLeftUnder } = rule.about;
  return {
    ...saved,
    about: { ...rule.about, daysLeftUnder: daysLeftUnder === null ? '' : String(daysLeftUnder) },
    delayMin: String(rule.delayMin),
    steps: rule.steps.map((step) => ({ ...step, afterMin: String(step.afterMin) })),
  };
}

/** What is sent to the server. An empty figure counts as 0, or as none for the days left. */
export function ruleOf(draft: RuleDraft): SaveRule {
  const { daysLeftUnder } = draft.about;
  return {
    ...draft,
    about: { ...draft.about, daysLeftUnder: daysLeftUnder.trim() === '' ? null : Number(daysLeftUnder) },
    delayMin: Number(draft.delayMin),
    steps: draft.steps.map(({ afterMin, targetIds }) => ({
      afterMin: Number(afterMin),
      targetIds: [...targetIds],
    })),
  };
}

/** The rule in plain words as it stands in the form. */
export function draftSentence(
  draft: RuleDraft,
  view: NotifyView,
  siteNames: ReadonlyMap<number, string>,
  providerNames: ReadonlyMap<number, string>,
): string {
  const targets = new Map(view.targets.map((target) => [target.targetId, targetTitle(target)]));
  return ruleSentence(ruleOf(draft), {
    site: (id) => siteNames.get(id) ?? null,
    provider: (id) => providerNames.get(id) ?? null,
    target: (id) => targets.get(id) ?? null,
  });
}
