import type { Finding } from '../../trend/types.ts';
import type { CauseId, CausePlace } from './cause.ts';
import { readEvidence } from './readEvidence.ts';
import type { Signs } from './signs.ts';
import { SIGN_TABLE } from './signTable.ts';
import { passiveSizeRatio, sdOf } from './splitterSteps.ts';

/** Nothing is impossible: what the table leaves out happens this many times in a hundred. */
const NEVER_SAID = 0.1;
/** A cause of which the table says nothing in a part comes in all its ways alike. */
const ANY_PACE = 1 / 3;
const ANY_SHAPE = 1 / 3;
const ANY_DIRECTION = 1 / 2;
/** Weather moves cable by 0.2 % of its loss a °C, so that this much is a lot. Common practice, no source. */
const WEATHER_DB = 1;
/** One provider event shows at its other sites this much more often than a fault of one building. Common practice, no source. */
const SHARED_RATIO = 30;
/** A supply that comes back explains an outage that ended by itself this much better than what needs a repair. The same. */
const RETURNED_RATIO = 4;

/** How well `cause` explains what the finding shows, against the others: comparable among causes, of no unit. */
export function likelihood(cause: CauseId, signs: Signs, finding: Finding, place: CausePlace): number {
  const { shows, pace } = SIGN_TABLE[cause];
  const about = (shows[signs.shows] ?? NEVER_SAID) / 100;
  const paced = signs.pace === null ? 1 : share(pace, signs.pace, ANY_PACE);
  return (
    about * paced * lying(cause, signs) * sized(cause, signs, finding) * told(cause, signs, finding, place)
  );
}

/** The chance of the change's shape and direction, over the shapes that it may have. */
function lying(cause: CauseId, signs: Signs): number {
  const { shape, direction } = SIGN_TABLE[cause];
  return signs.lies.reduce((sum, each) => {
    const shaped = each.shape === null ? 1 : share(shape, each.shape, ANY_SHAPE);
    const directed =
      each.direction === null ? ANY_DIRECTION : share(direction, each.direction, ANY_DIRECTION);
    return sum + each.chance * shaped * directed;
  }, 0);
}

function share<K extends string>(
  table: Readonly<Record<K, number>> | undefined,
  key: K,
  unsaid: number,
): number {
  return table === undefined ? unsaid : table[key] / 100;
}

/** A size in tilt says nothing of what a passive takes. */
function sized(cause: CauseId, signs: Signs, { metric, sizeDb, sizeLowDb, sizeHighDb }: Finding): number {
  if (signs.shows !== 'level') return 1;
  if (cause === 'passive-changed' && metric === 'level' && signs.pace === 'sudden')
    return passiveSizeRatio(sizeDb, sdOf(sizeLowDb, sizeHighDb));
  return cause === 'cable-temperature' ? Math.exp(1 - Math.max(1, Math.abs(sizeDb) / WEATHER_DB)) : 1;
}

/** What else is known: the provider's other sites, an end by itself, how many channels. */
function told(cause: CauseId, signs: Signs, finding: Finding, place: CausePlace): number {
  const { channels } = readEvidence(finding);
  if (place.isHandoff && place.otherSites > 0 && (cause === 'provider-feed' || cause === 'modulator'))
    return SHARED_RATIO;
  if (signs.shows === 'outage' && finding.closedMs !== null && cause === 'power-off') return RETURNED_RATIO;
  if (signs.shows === 'channel-lost' && channels.length > 1 && cause === 'modulator') return 0.5;
  return 1;
}
