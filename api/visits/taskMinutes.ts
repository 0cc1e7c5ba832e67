import type { CauseId } from '../diagnosis/causes/cause.ts';

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

/** Expected minutes at the point for a task: those of its causes, each by how likely it is; an hour where nobody knows. */
export function taskMinutes(
  causes: readonly { readonly cause: CauseId; readonly confidence: number }[],
): number {
  const sure = causes.reduce((sum, { confidence }) => sum + confidence, 0);
  if (sure === 0) return MINUTES['not-sure'];
  const weighted = causes.reduce((sum, { cause, confidence }) => sum + confidence * MINUTES[cause], 0);
  return Math.round(weighted / sure / 5) * 5;
}
