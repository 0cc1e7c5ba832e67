import type { BandShape, Finding } from '../trend/types.ts';

/** Half the width of an 80 % interval of a normal value, in standard deviations. */
const EIGHTY_PERCENT = 1.2815515655446004;

/** How fast something moves, signed, with one standard deviation. */
export interface Rate {
  readonly dbPerDay: number;
  readonly sdDbPerDay: number;
}

/** What the open drifts of a point do to a carrier. */
export interface BandDrift {
  levelAt(freqMhz: number): Rate;
  readonly mer: Rate;
}

const STILL: Rate = { dbPerDay: 0, sdDbPerDay: 0 };

/** How much a carrier moves, in any unit, when the band moves in that shape: `line` is a straight tilt about mid band. */
type Shape = BandShape | 'line';
const SHAPES: Readonly<Record<Shape, (freqMhz: number, middleMhz: number) => number>> = {
  flat: () => 1,
  line: (freqMhz, middleMhz) => freqMhz - middleMhz,
  cable: (freqMhz) => Math.sqrt(freqMhz),
  'low-end': (freqMhz) => 1 / freqMhz,
};

/**
 * Drifts of level at mid band and of tilt across the band move every carrier by its place in the drift's shape: all alike, as cable
 * loss (√f), as a poor contact (1/f), or on a straight line where the shape isn't known. The steepest drift of each shape counts.
 */
export function bandDrift(findings: readonly Finding[], lowMhz: number, highMhz: number): BandDrift {
  const drifts = findings.filter(({ kind, closedMs }) => kind === 'drift' && closedMs === null);
  const middleMhz = (lowMhz + highMhz) / 2;
  const moving = [...Map.groupBy(drifts.filter(movesLevel), shapeOf)].map(([shape, ofShape]) => {
    const at = (freqMhz: number) => SHAPES[shape](freqMhz, middleMhz);
    const rates = ofShape.map((finding) => {
      const unit = finding.metric === 'level' ? at(middleMhz) : at(highMhz) - at(lowMhz);
      return unit === 0 ? STILL : scaled(toRate(finding), 1 / unit);
    });
    return { at, rate: steepest(rates) };
  });
  return {
    mer: steepest(drifts.filter(({ metric }) => metric === 'mer').map(toRate)),
    levelAt: (freqMhz) => moving.map(({ at, rate }) => scaled(rate, at(freqMhz))).reduce(together, STILL),
  };
}

function movesLevel({ metric }: Finding): boolean {
  return metric === 'level' || metric === 'tilt';
}

/** A level drift says nothing of tilt, and a tilt drift needs a shape that tilts. */
function shapeOf({ metric, shape }: Finding): Shape {
  if (metric === 'level') return shape ?? 'flat';
  return shape === null || shape === 'flat' ? 'line' : shape;
}

function steepest(rates: readonly Rate[]): Rate {
  return rates.reduce((a, b) => (Math.abs(b.dbPerDay) > Math.abs(a.dbPerDay) ? b : a), STILL);
}

function scaled({ dbPerDay, sdDbPerDay }: Rate, by: number): Rate {
  return { dbPerDay: dbPerDay * by, sdDbPerDay: sdDbPerDay * Math.abs(by) };
}

function together(a: Rate, b: Rate): Rate {
  return { dbPerDay: a.dbPerDay + b.dbPerDay, sdDbPerDay: Math.hypot(a.sdDbPerDay, b.sdDbPerDay) };
}

function toRate({ slopeDbPerDay, slopeLowDbPerDay, slopeHighDbPerDay }: Finding): Rate {
  const width = (slopeHighDbPerDay ?? 0) - (slopeLowDbPerDay ?? 0);
  return { dbPerDay: slopeDbPerDay ?? 0, sdDbPerDay: Math.max(0, width) / (2 * EIGHTY_PERCENT) };
}
