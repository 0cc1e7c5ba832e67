import { CAUTION_IDS, type CauseId, type CausePlace, type CautionId } from './cause.ts';
import type { HopContents } from './hopContents.ts';
import { surroundingsOf } from './rates.ts';

/** Work on these opens a connector or a drop, so the bond of its shield matters. */
const OPENS_THE_LINE: readonly CauseId[] = [
  'passive-changed',
  'passive-failing',
  'cable-changed',
  'water-in-cable',
  'corroded-contact',
  'loose-connector',
  'open-line',
  'suck-out',
  'cable-echo',
  'ingress',
  'hidden-loss',
  'channel-blocked',
];
/** Work on these opens gear or follows its supply. */
const OPENS_GEAR: readonly CauseId[] = [
  'amplifier-gain',
  'amplifier-adjusted',
  'amplifier-noise',
  'amplifier-dead',
  'power-off',
];
/** A shield that isn't whole lets signals out as well as in. */
const SHIELD_IN_DOUBT: readonly CauseId[] = [
  'ingress',
  'loose-connector',
  'open-line',
  'corroded-contact',
  'cable-echo',
  'suck-out',
  'water-in-cable',
];
/** Nobody opens anything for these. */
const HANDS_OFF: readonly CauseId[] = ['cable-temperature', 'provider-feed'];

/** What somebody should know before going to work on `cause` in this hop, in the order of `CAUTION_IDS`. */
export function cautionsFor(cause: CauseId, hop: HopContents, place: CausePlace): readonly CautionId[] {
  if (HANDS_OFF.includes(cause)) return [];
  const where = surroundingsOf(hop, place);
  const nearGear = where === 'gear' || where === 'amplifier';
  const applies: Readonly<Record<CautionId, boolean>> = {
    bonding: OPENS_THE_LINE.includes(cause),
    'line-power': nearGear || OPENS_GEAR.includes(cause),
    mains: OPENS_GEAR.includes(cause),
    heights: hop.high || hop.lies === 'outdoors',
    fibre: hop.fibre,
    leakage: SHIELD_IN_DOUBT.includes(cause),
  };
  return CAUTION_IDS.filter((caution) => applies[caution]);
}
