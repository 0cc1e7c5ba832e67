import type { FleetRow } from '../../api/schemas/fleet.ts';
import { formatChange, formatMhz, plural } from '../format.ts';

/** Changes no larger than this, dB, are drawn neutral in the band charts: a meter reads no finer. */
export const NEUTRAL_DB = 0.5;
/** Bars end here, dB; beyond it a notch says that the bar was cut. */
export const STRIP_RANGE_DB = 3;

/** Change from baseline by slice of the band, with the slices that changed and those that lost a channel. */
export type Strip = Pick<FleetRow, 'strip' | 'stripChanged' | 'stripLost'>;

export interface StripPaths {
  readonly near: string;
  readonly below: string;
  readonly above: string;
  /** Where a bar was cut at the edge of the strip. */
  readonly cut: string;
  /** A cross in each slice that lost a channel. */
  readonly lost: string;
  /** The baseline, broken where nothing is read. */
  readonly axis: string;
}

/** Half the width, in slices, and half the height, dB, of the cross of a lost channel. */
const CROSS = { wide: 0.8, highDb: 0.75 };

/**
 * SVG paths of a strip in a box of `strip.length` × 2·STRIP_RANGE_DB, the baseline in the middle. Bars of slices that have
 * not changed are neutral.
 */
export function stripPaths({ strip, stripChanged, stripLost }: Strip): StripPaths {
  const paths = { near: '', below: '', above: '', cut: '', lost: '', axis: '' };
  strip.forEach((change, x) => {
    if (change === null) return;
    const height = Math.min(Math.abs(change), STRIP_RANGE_DB);
    const towards = change < 0 ? 1 : -1;
    const side = !stripChanged.includes(x) ? 'near' : change < 0 ? 'below' : 'above';
    paths[side] += `M${x + 0.12} ${STRIP_RANGE_DB}h.76v${round(towards * Math.max(height, 0.12))}h-.76z`;
    paths.axis += `M${x} ${STRIP_RANGE_DB}h1`;
    if (Math.abs(change) > STRIP_RANGE_DB) {
      paths.cut += `M${x + 0.12} ${STRIP_RANGE_DB + towards * (STRIP_RANGE_DB - 0.55)}h.76`;
    }
  });
  for (const x of stripLost) {
    const middle = Math.min(strip.length - CROSS.wide, Math.max(CROSS.wide, x + 0.5));
    const [left, width] = [round(middle - CROSS.wide), 2 * CROSS.wide];
    const [top, height] = [STRIP_RANGE_DB - CROSS.highDb, 2 * CROSS.highDb];
    paths.lost += `M${left} ${top}l${width} ${height}m0 ${-height}l${-width} ${height}`;
  }
  return paths;
}

/** The strip in words: where it left its baseline and by how much, and where channels are lost. */
export function describeStrip(shown: Strip, lowMhz: number, highMhz: number): string {
  const { strip, stripLost } = shown;
  const band = `${formatMhz(lowMhz)} to ${formatMhz(highMhz)} MHz`;
  if (stripLost.length === 0 && strip.every((change) => change === null)) {
    return `No readings to compare, ${band}`;
  }
  const edge = (slice: number) => Math.round(lowMhz + (slice * (highMhz - lowMhz)) / strip.length);
  const parts = changedRuns(shown).map(
    ({ first, last, worstDb }) =>
      `${formatChange(worstDb)} dB at most from ${edge(first)} to ${edge(last + 1)} MHz`,
  );
  const rest = parts.length > 3 ? [`and ${plural(parts.length - 3, 'more place')}`] : [];
  const lost =
    stripLost.length > 0 ? [`channels lost near ${stripLost.slice(0, 3).map(edge).join(', ')} MHz`] : [];
  if (parts.length + lost.length === 0) return `No more than the usual scatter about baseline, ${band}`;
  return `Against baseline: ${[...parts.slice(0, 3), ...rest, ...lost].join('; ')}`;
}

interface Run {
  readonly first: number;
  last: number;
  worstDb: number;
}

function changedRuns({ strip, stripChanged }: Strip): Run[] {
  const runs: Run[] = [];
  for (const x of stripChanged) {
    const change = strip[x] ?? 0;
    const run = runs.at(-1);
    if (run && run.last === x - 1 && Math.sign(run.worstDb) === Math.sign(change)) {
      run.last = x;
      if (Math.abs(change) > Math.abs(run.worstDb)) run.worstDb = change;
    } else runs.push({ first: x, last: x, worstDb: change });
  }
  return runs;
}

const round = (value: number) => Number(value.toFixed(2));
