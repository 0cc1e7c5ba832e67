import { severityRank } from '../alertFact.ts';
import type { AlertDossier } from '../loadStories.ts';
import type { SortedItems } from '../sortItems.ts';
import { alertLine, type Reader } from './alertLine.ts';
import { cautionFor } from './caution.ts';
import type { MessageContent, MessageSection } from './content.ts';

export const LISTED = 20;

type Told = { readonly dossier: AlertDossier };

/** A message about alerts, the gravest first; `rules` are the names of those that sent it. */
export function alertsMessage(
  sorted: SortedItems<Told>,
  { held, escalated }: { readonly held: boolean; readonly escalated: boolean },
  rules: readonly string[],
  reader: Reader,
): MessageContent {
  const section = (heading: string, items: readonly Told[]) => sectionOf(heading, items, reader);
  const sections = [
    section(escalated ? 'Open, and nobody has acknowledged' : 'Open', sorted.open),
    section('Got worse', sorted.worse),
    section('Back to normal', sorted.returned),
    section('In hand: acknowledged or set aside meanwhile', sorted.inHand),
    section('Came and went during quiet hours', sorted.cameAndWent),
  ].filter(({ alerts }) => alerts.length > 0);
  const single = sections.length === 1 && sections[0]!.alerts.length === 1 && sections[0]!.more === 0;
  const linked = single ? `/alerts/${sections[0]!.alerts[0]!.alertId}` : '/alerts';
  return {
    subject: subjectOf(sorted, held, escalated),
    intro: held ? 'This waited for the end of your quiet hours.' : '',
    sections,
    caution: cautionFor(sections),
    closing: `Sent by ${rules.length === 1 ? 'the rule' : 'the rules'} ${rules.map((name) => `“${name}”`).join(', ')}.`,
    link: { words: single ? 'Look at the alert' : 'Look at the alerts', url: reader.origin + linked },
  };
}

/** The section with the gravest first, cut after the first {@link LISTED}. */
export function sectionOf(heading: string, items: readonly Told[], reader: Reader): MessageSection {
  const ordered = items.toSorted(gravestFirst);
  return {
    heading,
    alerts: ordered.slice(0, LISTED).map(({ dossier }) => alertLine(dossier, reader)),
    more: Math.max(0, ordered.length - LISTED),
  };
}

function gravestFirst(a: Told, b: Told): number {
  const [one, other] = [a.dossier.row, b.dossier.row];
  return severityRank(other.severity) - severityRank(one.severity) || other.priority - one.priority;
}

function subjectOf(
  { open, worse, returned, cameAndWent, inHand }: SortedItems<Told>,
  held: boolean,
  escalated: boolean,
): string {
  const fresh = [...open, ...worse].sort(gravestFirst);
  const all = [...fresh, ...returned, ...cameAndWent, ...inHand];
  if (all.length === 1) {
    const { row, where } = all[0]!.dossier;
    return `${oneWord(open, worse, returned, cameAndWent, row.severity, escalated)}: ${row.title} – ${where}`;
  }
  if (fresh.length === 0) {
    return held && returned.length === 0
      ? `Nothing new is open; ${all.length} alerts came up in quiet hours`
      : `${returned.length} ${returned.length === 1 ? 'alert is' : 'alerts are'} back to normal`;
  }
  const worst = fresh[0]!.dossier.row.severity;
  const count = fresh.filter(({ dossier }) => dossier.row.severity === worst).length;
  const places = [...new Set(fresh.map(({ dossier }) => dossier.where))];
  const more = places.length > 2 ? ` and ${places.length - 2} more` : '';
  const alerts = fresh.length === 1 ? '1 alert' : `${fresh.length} alerts`;
  return `${alerts}, ${count} ${worst}${escalated ? ', not acknowledged' : ''}: ${places.slice(0, 2).join('; ')}${more}`;
}

function oneWord(
  open: readonly unknown[],
  worse: readonly unknown[],
  returned: readonly unknown[],
  cameAndWent: readonly unknown[],
  severity: string,
  escalated: boolean,
): string {
  const word = severity.charAt(0).toUpperCase() + severity.slice(1);
  if (open.length > 0) return escalated ? `${word}, not acknowledged` : word;
  if (worse.length > 0) return `Worse, now ${severity}`;
  if (returned.length > 0) return 'Back to normal';
  return cameAndWent.length > 0 ? 'Came and went' : 'In hand';
}
