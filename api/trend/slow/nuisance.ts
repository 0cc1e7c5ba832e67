import { BLOCKS_A_DAY } from '../types.ts';

/**
 * What moves a reading without being a fault: its standing level, the air temperature, the rhythm of the day, and breaks (an
 * instrument swapped, a step already told). Columns over the blocks, made orthonormal once, to be taken out of anything.
 * Each has a prior spread, by way of one more row (ridge): with little data it explains little.
 */
export interface Nuisance {
  /** Rows: the blocks, then one for each column. */
  readonly rows: number;
  readonly blocks: number;
  readonly columns: readonly Float64Array[];
}

/** Prior spreads, dB, over a usual block noise: common practice, no source. */
const LEVEL_SPREAD_DB = 0.5;
/**
 * For one standard deviation of what a thermometer reads: 20 dB of cable change by 0.04 dB a degree and outdoor air by some 4 °C within
 * weeks. A thermometer indoors reads a tenth of that and tells of it all the same.
 */
const AMBIENT_DB = 0.2;
/** A thermometer that moves less tells of its own noise. */
const SMALLEST_SD_C = 0.05;
const RHYTHM_DB = 0.3;
/** Of MER behind gear with a low input, for each dB of the feed's level: dB for dB at the most. */
const FEED_DB = 0.7;
const USUAL_NOISE_DB = 0.06;
const SMALL = 1e-9;

/**
 * @param index block numbers, rising
 * @param thermometersC mean air temperature of each block by one thermometer or several; null where unknown
 * @param breaks block numbers from which another level holds
 * @param feedDb level of the feed in each block where it moves what is looked at; null where unknown
 */
export function nuisanceOf(
  index: readonly number[],
  thermometersC: readonly (readonly (number | null)[])[],
  breaks: readonly number[],
  feedDb: readonly (number | null)[] = [],
): Nuisance {
  const raw: { column: number[]; spread: number }[] = [
    { column: index.map(() => 1), spread: LEVEL_SPREAD_DB },
  ];
  for (const ambientC of thermometersC) {
    const column = standardised(ambientC);
    if (column !== null) raw.push({ column, spread: AMBIENT_DB });
  }
  const feed = centred(feedDb);
  if (feed !== null) raw.push({ column: feed, spread: FEED_DB });
  for (let phase = 1; phase < BLOCKS_A_DAY; phase++) {
    const column = index.map((block) =>
      block % BLOCKS_A_DAY === phase ? 1 : block % BLOCKS_A_DAY === 0 ? -1 : 0,
    );
    raw.push({ column, spread: RHYTHM_DB });
  }
  for (const from of breaks) {
    const column = index.map((block) => (block >= from ? 1 : 0));
    if (column.includes(1) && column.includes(0)) raw.push({ column, spread: Number.POSITIVE_INFINITY });
  }

  const rows = index.length + raw.length;
  const columns: Float64Array[] = [];
  for (let k = 0; k < raw.length; k++) {
    const column = new Float64Array(rows);
    column.set(raw[k]!.column);
    column[index.length + k] = USUAL_NOISE_DB / raw[k]!.spread;
    const before = norm(column);
    takeOut(column, columns);
    const length = norm(column);
    if (length < 1e-6 * before) continue;
    for (let i = 0; i < rows; i++) column[i]! /= length;
    columns.push(column);
  }
  return { rows, blocks: index.length, columns };
}

/** `values` with everything that the nuisance explains taken out; as long as its rows. */
export function withoutNuisance(values: ArrayLike<number>, nuisance: Nuisance): Float64Array {
  const rest = new Float64Array(nuisance.rows);
  for (let i = 0; i < nuisance.blocks; i++) rest[i] = values[i]!;
  takeOut(rest, nuisance.columns);
  return rest;
}

function takeOut(values: Float64Array, columns: readonly Float64Array[]): void {
  for (const column of columns) {
    const share = dot(values, column);
    if (Math.abs(share) < SMALL) continue;
    for (let i = 0; i < values.length; i++) values[i]! -= share * column[i]!;
  }
}

/** Over their standard deviation. Null as for `centred`, and where all are alike. */
function standardised(ambientC: readonly (number | null)[]): number[] | null {
  const column = centred(ambientC);
  if (column === null) return null;
  const known = ambientC.filter((value) => value !== null).length;
  const sd = Math.sqrt(column.reduce((sum, value) => sum + value ** 2, 0) / known);
  return sd < SMALLEST_SD_C ? null : column.map((value) => value / sd);
}

/** Less their mean; 0 where unknown. Null when half of them are unknown. */
function centred(values: readonly (number | null)[]): number[] | null {
  const known = values.filter((value) => value !== null);
  if (known.length === 0 || known.length < values.length / 2) return null;
  const mean = known.reduce((sum, value) => sum + value, 0) / known.length;
  return values.map((value) => (value === null ? 0 : value - mean));
}

export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

function norm(values: Float64Array): number {
  return Math.sqrt(dot(values, values));
}
