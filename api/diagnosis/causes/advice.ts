import { FEED_ADVICE } from './advice/feed.ts';
import { GEAR_ADVICE } from './advice/gear.ts';
import { LINE_ADVICE } from './advice/line.ts';
import type { CauseId, CausePlace } from './cause.ts';

/** What a cause is called, what to look at first and what to have along. */
export interface Advice {
  readonly title: string;
  readonly check: readonly string[];
  readonly bring: readonly string[];
}

const ADVICE: Readonly<Record<CauseId, Advice>> = { ...LINE_ADVICE, ...GEAR_ADVICE, ...FEED_ADVICE };

/** At the handoff whatever it is lies in the provider's part, so it is proven and reported and not mended. */
const REPORT: Pick<Advice, 'check' | 'bring'> = {
  check: [
    'At the handoff: look at the connection of the test point itself and tighten it.',
    'Measure there again with a second meter, on the same channels as the baseline.',
    'If the change stands, report it to the provider with the then and now of this page; leave their gear as it is.',
  ],
  bring: ['A second meter with a valid calibration', 'The then and now of the handoff, printed'],
};
const OURS_ANYWHERE: readonly CauseId[] = ['instrument', 'cable-temperature', 'not-sure'];

export function causeTitle(cause: CauseId): string {
  return ADVICE[cause].title;
}

export function adviceOn(cause: CauseId, { isHandoff }: CausePlace): Advice {
  const advice = ADVICE[cause];
  if (!isHandoff || OURS_ANYWHERE.includes(cause)) return advice;
  return { title: advice.title, ...REPORT };
}
