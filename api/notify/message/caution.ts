import type { MessageSection } from './content.ts';

const CAUTION =
  'Before anybody opens, climbs or unplugs anything: bonds, line power, mains, heights, fibre and leakage are for local codes and ' +
  'licensed practice. The alert’s page names what applies.';

/** The caution for a message that tells somebody what to do; null for one that doesn't. */
export function cautionFor(sections: readonly MessageSection[]): string | null {
  return sections.some(({ alerts }) => alerts.some(({ doFirst }) => doFirst !== null)) ? CAUTION : null;
}
