import type { AlertDossier } from '../loadStories.ts';
import type { Reader } from './alertLine.ts';
import { sectionOf } from './alertsMessage.ts';
import { cautionFor } from './caution.ts';
import type { MessageContent } from './content.ts';
import { moment } from './moment.ts';

/**
 * What is new since `sinceMs`, what is open, what was put right. Null where there is nothing of all that and `evenIfEmpty` is false.
 */
export function digestMessage(
  kind: 'daily' | 'weekly',
  dossiers: readonly AlertDossier[],
  sinceMs: number,
  evenIfEmpty: boolean,
  reader: Reader,
): MessageContent | null {
  const isOpen = ({ row }: AlertDossier) => row.state.startsWith('active');
  const fresh = dossiers.filter((dossier) => isOpen(dossier) && dossier.row.raised_at.getTime() >= sinceMs);
  const open = dossiers.filter((dossier) => isOpen(dossier) && dossier.row.raised_at.getTime() < sinceMs);
  const right = dossiers.filter(
    ({ row }) => (row.returned_at ?? row.closed_at ?? row.onset_at).getTime() >= sinceMs && isOver(row),
  );
  const aside = dossiers.filter(({ row }) => ['shelved', 'suppressed', 'out-of-service'].includes(row.state));
  if (fresh.length + open.length + right.length === 0 && !evenIfEmpty) return null;

  const told = (list: readonly AlertDossier[]) => list.map((dossier) => ({ dossier }));
  const sections = [
    sectionOf('New', told(fresh), reader),
    sectionOf('Open from before', told(open), reader),
    sectionOf('Put right', told(right), reader),
  ].filter(({ alerts }) => alerts.length > 0);
  const since = `Since ${moment(sinceMs, reader.timeZone)}.`;
  const setAside =
    aside.length === 0
      ? ''
      : ` ${plural(aside.length, 'alert is', 'alerts are')} set aside: shelved, suppressed or out of service.`;
  const nothing = sections.length === 0 ? ' Nothing is open, and nothing came up.' : '';
  return {
    subject: subjectOf(kind, fresh.length, open.length, right.length),
    intro: `${since}${nothing}${setAside}`,
    sections,
    caution: cautionFor(sections),
    closing: `Your ${kind} digest.`,
    link: { words: 'Look at the alerts', url: `${reader.origin}/alerts` },
  };
}

function isOver({ state }: AlertDossier['row']): boolean {
  return state === 'normal' || state === 'returned-unacknowledged';
}

function subjectOf(kind: 'daily' | 'weekly', fresh: number, open: number, right: number): string {
  const when = kind === 'daily' ? 'Today' : 'This week';
  if (fresh + open + right === 0) return `${when}: nothing to tell`;
  return `${when}: ${fresh} new, ${open + fresh} open, ${right} put right`;
}

function plural(count: number, one: string, many: string): string {
  return `${count} ${count === 1 ? one : many}`;
}
