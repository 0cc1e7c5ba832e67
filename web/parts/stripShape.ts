import { formatChange, formatMhz } from '../format.ts';

/** Deviations no larger than this, dB, are drawn neutral: a meter reads no finer. */
export const NEUTRAL_DB = 0.5;
/** Bars end here, dB; beyond it a notch says that the bar was cut. */
export const STRIP_RANGE_DB = 3;

export interface StripPaths {
  readonly near: string;
  readonly below: string;
  readonly above: string;
  /** Where a bar was cut at the edge of the strip. */
  readonly cut: string;
  /** The baseline, broken where nothing is read. */
  readonly axis: string;
}

/**
 * SVG paths of a strip in a box of `strip.length` × 2·STRIP_RANGE_DB, the baseline in the middle.
 * `strip` is the worst deviation from baseline in each slice of the band, dB; null where nothing is read.
 */
export function stripPaths(strip: readonly (number | null)[]): StripPaths {
  const paths = { near: '', below: '', above: '', cut: '', axis: '' };
  strip.forEach((deviation, x) => {
    if (deviation === null) return;
    const height = Math.min(Math.abs(deviation), STRIP_RANGE_DB);
    const towards = deviation < 0 ? 1 : -1;
    const side = Math.abs(deviation) <= NEUTRAL_DB ? 'near' : deviation < 0 ? 'below' : 'above';
    paths[side] += `M${x + 0.12} ${STRIP_RANGE_DB}h.76v${round(towards * Math.max(height, 0.12))}h-.76z`;
    paths.axis += `M${x} ${STRIP_RANGE_DB}h1`;
    if (Math.abs(deviation) > STRIP_RANGE_DB) {
      paths.cut += `M${x + 0.12} ${STRIP_RANGE_DB + towards * (STRIP_RANGE_DB - 0.55)}h.76`;
    }
  });
  return paths;
}

/** The strip in words: where it leaves ±0.5 dB and by how much. */
export function describeStrip(strip: readonly (number | null)[], lowMhz: number, highMhz: number): string {
  const band = `${formatMhz(lowMhz)} to ${formatMhz(highMhz)} MHz`;
  if (strip.every((deviation) => deviation === null)) return `No readings to compare, ${band}`;
  const runs = outsideRuns(strip);
  if (runs.length === 0) return `Within ±${NEUTRAL_DB} dB of baseline, ${band}`;
  const slice = (highMhz - lowMhz) / strip.length;
  const parts = runs.slice(0, 3).map((run) => {
    const from = Math.round(lowMhz + run.first * slice);
    const to = Math.round(lowMhz + (run.last + 1) * slice);
    return `${formatChange(run.worstDb)} dB at worst from ${from} to ${to} MHz`;
  });
  const rest = runs.length > 3 ? `, and ${runs.length - 3} more places` : '';
  return `Against baseline: ${parts.join('; ')}${rest}`;
}

interface Run {
  first: number;
  last: number;
  worstDb: number;
}

function outsideRuns(strip: readonly (number | null)[]): Run[] {
  const runs: Run[] = [];
  strip.forEach((deviation, x) => {
    if (deviation === null || Math.abs(deviation) <= NEUTRAL_DB) return;
    const last = runs.at(-1);
    if (last && last.last === x - 1 && Math.sign(last.worstDb) === Math.sign(deviation)) {
      last.last = x;
      if (Math.abs(deviation) > Math.abs(last.worstDb)) last.worstDb = deviation;
    } else runs.push({ first: x, last: x, worstDb: deviation });
  });
  return runs;
}

const round = (value: number) => Number(value.toFixed(2));
