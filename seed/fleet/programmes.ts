import type { Service } from '../../ingest/plan/channelPlan.ts';

const FAMILIES = ['Lanternlight', 'Copperleaf', 'Old Mill', 'Windrow', 'Tidewater', 'Hollyhock', 'Nine Elms'];
const THEMES = [
  'News',
  'Films',
  'Kids',
  'Music',
  'Nature',
  'Kitchen',
  'History',
  'Motors',
  'Comedy',
  'Sport',
];
const FIRST_DIGITAL_NUMBER = 100;

/** Invented programmes for the `place`-th channel of a plan: one on an analogue channel, two on a digital one. */
export function servicesAt(place: number, isAnalogue: boolean): Service[] {
  if (isAnalogue) return [{ number: String(place + 2), name: programmeName(place) }];
  return [2 * place, 2 * place + 1].map((number) => ({
    number: String(FIRST_DIGITAL_NUMBER + number),
    name: programmeName(number),
  }));
}

function programmeName(number: number): string {
  const family = FAMILIES[number % FAMILIES.length];
  const theme = THEMES[Math.floor(number / FAMILIES.length) % THEMES.length];
  const round = Math.floor(number / (FAMILIES.length * THEMES.length));
  return `${family} ${theme}${round === 0 ? '' : ` ${round + 1}`}`;
}
