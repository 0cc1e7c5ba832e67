import { causeTitle } from '../diagnosis/causes/advice.ts';
import { CAUSE_IDS, type CauseId } from '../diagnosis/causes/cause.ts';

/** Minutes to find and mend each cause where parts are at hand: common practice, no source. */
const MINUTES: Readonly<Record<CauseId, number>> = {
  'passive-changed': 45,
  'passive-failing': 45,
  'cable-changed': 60,
  'cable-temperature': 30,
  'water-in-cable': 90,
  'corroded-contact': 60,
  'loose-connector': 45,
  'open-line': 60,
  'suck-out': 60,
  'cable-echo': 75,
  ingress: 90,
  'amplifier-gain': 60,
  'amplifier-adjusted': 45,
  'amplifier-noise': 75,
  'amplifier-dead': 60,
  'hidden-loss': 60,
  'power-off': 30,
  modulator: 60,
  'channel-blocked': 45,
  'provider-feed': 30,
  instrument: 30,
  'not-sure': 60,
};

/** Minutes at the point for the cause that an alert names by its title; an hour where it names none that is known. */
export function taskMinutes(title: string | null): number {
  const known = CAUSE_IDS.find((cause) => causeTitle(cause) === title);
  return MINUTES[known ?? 'not-sure'];
}
