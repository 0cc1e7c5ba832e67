import type { Finding, Metric } from '../trend/types.ts';

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

/** Level at mid band and tilt across the band move every carrier by its place; the steepest drift of each counts. */
export function bandDrift(findings: readonly Finding[], lowMhz: number, highMhz: number): BandDrift {
  const level = steepest(findings, 'level');
  const tilt = steepest(findings, 'tilt');
  const span = highMhz - lowMhz;
  return {
    mer: steepest(findings, 'mer'),
    levelAt: (freqMhz) => {
      const place = span > 0 ? (freqMhz - (lowMhz + highMhz) / 2) / span : 0;
      return {
        dbPerDay: level.dbPerDay + place * tilt.dbPerDay,
        sdDbPerDay: Math.hypot(level.sdDbPerDay, place * tilt.sdDbPerDay),
      };
    },
  };
}

function steepest(findings: readonly Finding[], metric: Metric): Rate {
  return findings
    .filter((finding) => finding.metric === metric && finding.kind === 'drift' && finding.closedMs === null)
    .map(toRate)
    .reduce((a, b) => (Math.abs(b.dbPerDay) > Math.abs(a.dbPerDay) ? b : a), STILL);
}

function toRate({ slopeDbPerDay, slopeLowDbPerDay, slopeHighDbPerDay }: Finding): Rate {
  const width = (slopeHighDbPerDay ?? 0) - (slopeLowDbPerDay ?? 0);
  return { dbPerDay: slopeDbPerDay ?? 0, sdDbPerDay: Math.max(0, width) / (2 * EIGHTY_PERCENT) };
}
