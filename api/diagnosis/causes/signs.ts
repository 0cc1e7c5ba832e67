import type { BandShape, Finding } from '../../trend/types.ts';
import { readEvidence } from './readEvidence.ts';

/** What a finding is about. */
export const SHOWINGS = [
  'level',
  'noise',
  'flatness',
  'dips',
  'notch',
  'ripple',
  'channels',
  'channels-noise',
  'channel-lost',
  'outage',
  'instrument',
] as const;
export type Showing = (typeof SHOWINGS)[number];

/** At once, over days (0.1 dB a day and more), or over weeks. */
export type Pace = 'sudden' | 'days' | 'weeks';
export type Direction = 'loss' | 'gain';

/** What the table of likelihoods is asked about. */
export interface Signs {
  readonly shows: Showing;
  /** Null where the kind has none. */
  readonly pace: Pace | null;
  /** Each way that the change may lie across the band, with its chance and the direction that it would have then. */
  readonly lies: readonly {
    readonly shape: BandShape | null;
    readonly chance: number;
    readonly direction: Direction | null;
  }[];
}

/** Slower than this is a matter of weeks. Common practice, no source. */
const DAYS_DB_PER_DAY = 0.1;
/** Chance of the shape that the engine names, when it doesn't give its odds. */
const NAMED_SHAPE = 0.94;
const SHAPES: readonly BandShape[] = ['flat', 'cable', 'low-end'];

export function signsOf(finding: Finding): Signs {
  const shows = showing(finding);
  const hasPace = shows === 'level' || shows === 'noise';
  return { shows, pace: hasPace ? paceOf(finding) : null, lies: liesAcross(finding, shows) };
}

function showing({ kind, metric }: Finding): Showing {
  switch (kind) {
    case 'dips':
    case 'notch':
    case 'ripple':
    case 'channel-lost':
    case 'outage':
      return kind;
    case 'instrument-change':
      return 'instrument';
    case 'channel-shift':
      return metric === 'mer' ? 'channels-noise' : 'channels';
    case 'step':
    case 'drift':
      if (metric === 'mer') return 'noise';
      return metric === 'flatness' ? 'flatness' : 'level';
  }
}

function paceOf({ kind, slopeDbPerDay }: Finding): Pace {
  if (kind === 'step') return 'sudden';
  return Math.abs(slopeDbPerDay ?? 0) >= DAYS_DB_PER_DAY ? 'days' : 'weeks';
}

function liesAcross(finding: Finding, shows: Showing): Signs['lies'] {
  if (shows !== 'level')
    return [{ shape: null, chance: 1, direction: shows === 'noise' ? bySign(finding.sizeDb) : null }];
  const odds = shapeOdds(finding);
  if (odds === null) return [{ shape: null, chance: 1, direction: directionOf(finding, null) }];
  return SHAPES.map((shape) => ({ shape, chance: odds[shape], direction: directionOf(finding, shape) }));
}

function shapeOdds(finding: Finding): Readonly<Record<BandShape, number>> | null {
  const given = readEvidence(finding).shapeOdds;
  if (given !== null) return given;
  if (finding.shape !== null) {
    const rest = (1 - NAMED_SHAPE) / (SHAPES.length - 1);
    return { flat: rest, cable: rest, 'low-end': rest, [finding.shape]: NAMED_SHAPE };
  }
  return finding.metric === 'tilt' ? { flat: 0, cable: 0.5, 'low-end': 0.5 } : null;
}

/** A tilt that rises is loss where the low end falls, and gain where the whole cable's loss does. */
function directionOf({ metric, sizeDb }: Finding, shape: BandShape | null): Direction | null {
  if (metric !== 'tilt') return bySign(sizeDb);
  if (shape === 'low-end') return bySign(-sizeDb);
  return shape === 'cable' ? bySign(sizeDb) : null;
}

function bySign(sizeDb: number): Direction | null {
  if (sizeDb === 0) return null;
  return sizeDb < 0 ? 'loss' : 'gain';
}
