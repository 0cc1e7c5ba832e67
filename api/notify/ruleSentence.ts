import type { RuleAbout, RuleStep, RuleTerms } from './rule.ts';

/** Names for the numbers in a rule; null for what is gone. */
export interface RuleNames {
  readonly site: (siteId: number) => string | null;
  readonly provider: (providerId: number) => string | null;
  /** Such as "Rosa Field (e-mail)". */
  readonly target: (targetId: number) => string | null;
}

/** A rule in plain words: "Tell Rosa Field (e-mail) about critical alerts of one site at any site, …". */
export function ruleSentence(rule: RuleTerms, names: RuleNames): string {
  const [first, ...later] = rule.steps;
  const told = first ? targetsOf(first, names) : 'nobody';
  const parts = [`Tell ${told} about ${aboutOf(rule.about, names)}`];
  parts.push(rule.delayMin === 0 ? 'as soon as they are raised' : `once open for ${duration(rule.delayMin)}`);
  const sentences = [`${parts.join(', ')}.`];
  for (const step of later) {
    sentences.push(
      `If nobody has acknowledged ${duration(step.afterMin)} later, tell ${targetsOf(step, names)}.`,
    );
  }
  sentences.push(sequelsOf(rule));
  sentences.push(
    rule.throughQuiet
      ? 'Quiet hours do not hold it back.'
      : 'In somebody’s quiet hours it waits for their morning.',
  );
  return sentences.filter((sentence) => sentence !== '').join(' ');
}

function aboutOf(about: RuleAbout, names: RuleNames): string {
  const what = {
    site: 'alerts of a single site',
    'provider-event': 'provider events',
    any: 'alerts',
  }[about.kind ?? 'any'];
  const severity = about.severityAtLeast === 'critical' ? 'critical ' : `${severityWords(about)} `;
  const parts = [`${severity}${what}`];
  const places = [
    ...(about.siteIds ?? []).map((id) => names.site(id) ?? 'a site that is gone'),
    ...(about.providerIds ?? []).map(
      (id) => `the feed of ${names.provider(id) ?? 'a provider that is gone'}`,
    ),
  ];
  parts.push(placeWords(about, places));
  if (about.side === 'unsure') parts.push('whose side is not sure');
  else if (about.side !== null) parts.push(`on the ${about.side}’s side`);
  if (about.daysLeftUnder !== null) parts.push(`with less than ${days(about.daysLeftUnder)} left`);
  return parts.join(' ');
}

function severityWords({ severityAtLeast }: RuleAbout): string {
  if (severityAtLeast === 'major') return 'critical and major';
  if (severityAtLeast === 'minor') return 'critical, major and minor';
  return 'all';
}

function placeWords({ siteIds, providerIds }: RuleAbout, places: readonly string[]): string {
  if (siteIds === null && providerIds === null) return 'at any site';
  if (siteIds !== null && providerIds !== null) {
    const sites = list(places.slice(0, siteIds.length), 'or');
    return `at ${sites || 'no site'} on ${list(places.slice(siteIds.length), 'or') || 'no feed'}`;
  }
  const any = list(places, 'or');
  return siteIds !== null ? `at ${any || 'no site'}` : `on ${any || 'no feed'}`;
}

function sequelsOf({ tellsWorse, tellsReturn }: RuleTerms): string {
  if (tellsWorse && tellsReturn) return 'Also tell when it gets worse and when it has returned to normal.';
  if (tellsWorse) return 'Also tell when it gets worse.';
  return tellsReturn ? 'Also tell when it has returned to normal.' : '';
}

function targetsOf(step: RuleStep, names: RuleNames): string {
  const all = step.targetIds.map((id) => names.target(id) ?? 'somebody who is gone');
  return list(all, 'and') || 'nobody';
}

function list(words: readonly string[], joint: 'and' | 'or'): string {
  if (words.length <= 1) return words[0] ?? '';
  return `${words.slice(0, -1).join(', ')} ${joint} ${words.at(-1)}`;
}

function duration(minutes: number): string {
  if (minutes % 60 !== 0) return `${minutes} min`;
  return minutes === 60 ? 'one hour' : `${minutes / 60} hours`;
}

function days(count: number): string {
  return count === 1 ? 'one day' : `${count} days`;
}
