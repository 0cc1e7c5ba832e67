import type { ReadingWay, ReadingWayInput } from '../../../../api/schemas/readingWays.ts';

/** How readings come, as it is typed. */
export interface WayDraft {
  way: ReadingWay['way'] | '';
  host: string;
  user: string;
  program: string;
  folder: string;
  instrument: string;
  format: 'csv' | 'contract';
}

export const WAY_WORD: Readonly<Record<ReadingWay['way'], string>> = {
  'agent-modem': 'An agent on site reads a cable modem',
  'agent-folder': 'An agent on site takes files that a meter exports',
  'agent-command': 'An agent on site runs a program of ours',
  server: 'This server reads the instrument over the network',
  script: 'A program of ours sends them with the site key',
  typed: 'A person reads a meter and types them in',
};

/** What follows from a way that asks for nothing here. */
export const WAY_HINT: Readonly<Partial<Record<ReadingWay['way'], string>>> = {
  server: 'Keep this, then enter the instrument as a probe. The server must be able to reach it.',
  script: 'The next step shows the command line.',
  typed: 'Keep this; then levels are typed at the point whenever they are measured.',
};

/** Where a person goes on once the way is kept; null where the guide's next step says it. */
export function wayGoesOn(
  way: ReadingWay['way'] | undefined,
  siteId: number,
  pointId: number,
): { readonly href: string; readonly words: string } | null {
  if (way === 'server')
    return { href: `/setup/sites/${siteId}?probe-at=${pointId}`, words: 'Set up its probe' };
  if (way === 'typed')
    return { href: `/sites/${siteId}/points/${pointId}/readings/new`, words: 'Type its readings' };
  return null;
}

export function wayDraft(way: ReadingWay | null): WayDraft {
  const empty: WayDraft = {
    way: '',
    host: '',
    user: '',
    program: '',
    folder: '',
    instrument: '',
    format: 'csv',
  };
  return { ...empty, ...way };
}

/** What is sent; null while no way is chosen. */
export function wayInput(draft: WayDraft): ReadingWayInput | null {
  const { way, host, user, program, folder, instrument, format } = draft;
  switch (way) {
    case '':
      return null;
    case 'agent-modem':
      return { way, host, user };
    case 'agent-command':
      return { way, program };
    case 'agent-folder':
      return { way, folder, instrument, format };
    default:
      return { way };
  }
}
