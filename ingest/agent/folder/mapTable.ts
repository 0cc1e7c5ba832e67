import { checkSweep } from '../../contract/checkSweep.ts';
import { INGEST_LIMITS } from '../../contract/limits.ts';
import { contractSweep } from '../../probe/contractSweep.ts';
import { dbm75ToDbmv } from '../../signal/dbm75ToDbmv.ts';
import { dbuvToDbmv } from '../../signal/dbuvToDbmv.ts';
import type { Sweep } from '../../sweep.ts';
import type { Mapping } from '../config/mapping.ts';
import { cellNumber } from './number.ts';
import type { Table, TableRow } from './table.ts';
import { timeByTemplate } from './timeTemplate.ts';

export interface FileFacts {
  readonly name: string;
  /** When the file was last written, milliseconds since 1970 UTC. */
  readonly modifiedMs: number;
  /** Null only where the file itself names it. */
  readonly instrument: string | null;
  /** Zone of times that name none. */
  readonly zone: string;
}

/** One row of a table in the units of a sweep. */
interface Carrier {
  readonly row: number;
  readonly atMs: number;
  readonly freqMhz: number;
  readonly levelDbmv: number | null;
  readonly isLost: boolean;
  readonly merDb: number | null;
  readonly cnrDb: number | null;
  readonly berPre: number | null;
  readonly berPost: number | null;
  readonly ambientC: number | null;
}

const PER_MHZ = { MHz: 1, kHz: 1e3, Hz: 1e6 } as const;
const HZ_PER_MHZ = 1e6;
/** A hand-held meter takes its time over one sweep; its rows may carry their own times. */
const LONGEST_SWEEP_MS = 5 * 60_000;

/**
 * The sweeps of a table: its rows in order, a new sweep wherever a frequency comes again or five minutes have gone
 * by. A sweep's time is that of its first row. Throws an Error that names row and column of the first thing that
 * can't be read, so that no file is taken in part.
 */
export function mapTable(table: Table, mapping: Mapping, file: FileFacts): Sweep[] {
  const columns = findColumns(table, mapping);
  const carriers = table.rows
    .filter(({ cells }) => cells.some((cell) => cell !== ''))
    .map((row) => readCarrier(row, columns, mapping, file));
  const { instrument } = file;
  if (instrument === null) throw new Error('nothing names the instrument');
  if (carriers.length === 0) throw new Error('it has no rows with readings');
  return intoSweeps(carriers).map((group) => toSweep(group, instrument));
}

type Columns = Readonly<Record<keyof Mapping['columns'], number | null>> & {
  readonly time: readonly number[];
};

function findColumns(table: Table, { columns, time }: Mapping): Columns {
  const find = (column: string | number | undefined) =>
    column === undefined ? null : placeOf(table, column);
  const timeColumns = time.from === 'column' ? [time.column].flat() : [];
  return {
    frequency: find(columns.frequency),
    level: find(columns.level),
    mer: find(columns.mer),
    cnr: find(columns.cnr),
    berPre: find(columns.berPre),
    berPost: find(columns.berPost),
    ambient: find(columns.ambient),
    time: timeColumns.map((column) => placeOf(table, column)),
  };
}

function placeOf({ names }: Table, column: string | number): number {
  if (typeof column === 'number') return column - 1;
  if (names === null)
    throw new Error(`column “${column}”: there is no header row, so give the column’s number`);
  const place = names.findIndex((name) => name.toLowerCase() === column.trim().toLowerCase());
  if (place >= 0) return place;
  throw new Error(
    `column “${column}” is not in the header row, which has ${names.map((name) => `“${name}”`).join(', ')}`,
  );
}

function readCarrier(
  { number, cells }: TableRow,
  columns: Columns,
  mapping: Mapping,
  file: FileFacts,
): Carrier {
  const { decimal, missing, lost } = mapping;
  const read = (name: keyof Mapping['columns']): number | null => {
    const place = columns[name];
    const cell = place === null ? '' : (cells[place] ?? '');
    if (place === null || missing.includes(cell)) return null;
    const value = cellNumber(cell, decimal);
    if (value !== null) return value;
    throw new Error(`row ${number}, ${name}: “${cell.slice(0, 40)}” is no number with decimal “${decimal}”`);
  };

  const frequency = read('frequency');
  if (frequency === null) throw new Error(`row ${number}, frequency: is missing`);
  const isLost = lost.includes(cells[columns.level!] ?? '');
  return {
    row: number,
    atMs: timeOf(number, cells, columns, mapping, file),
    freqMhz: Math.round((frequency / PER_MHZ[mapping.frequencyUnit]) * HZ_PER_MHZ) / HZ_PER_MHZ,
    levelDbmv: isLost ? null : toDbmv(read('level'), mapping.levelUnit),
    isLost,
    merDb: read('mer'),
    cnrDb: read('cnr'),
    berPre: read('berPre'),
    berPost: read('berPost'),
    ambientC: read('ambient'),
  };
}

function toDbmv(level: number | null, unit: Mapping['levelUnit']): number | null {
  if (level === null || unit === 'dBmV') return level;
  const levelDbmv = unit === 'dBm' ? dbm75ToDbmv(level) : dbuvToDbmv(level);
  return Math.round(levelDbmv * 1e4) / 1e4;
}

function timeOf(
  row: number,
  cells: readonly string[],
  columns: Columns,
  { time }: Mapping,
  file: FileFacts,
): number {
  if (time.from === 'file') return Math.round(file.modifiedMs);
  const zone = time.zone ?? file.zone;
  if (time.from === 'name') {
    const atMs = timeByTemplate(file.name, time.pattern, zone, 'anywhere');
    if (atMs !== null) return atMs;
    throw new Error(`its name “${file.name}” holds no time like “${time.pattern}”`);
  }
  const cell = columns.time.map((place) => cells[place] ?? '').join(' ');
  const atMs = timeByTemplate(cell, time.pattern, zone, 'whole');
  if (atMs !== null) return atMs;
  throw new Error(`row ${row}, time: “${cell.slice(0, 40)}” is no time like “${time.pattern}”`);
}

function intoSweeps(carriers: readonly Carrier[]): Carrier[][] {
  const sweeps: Carrier[][] = [];
  let seen = new Map<number, Carrier>();
  for (const carrier of carriers) {
    const current = sweeps.at(-1);
    const twin = seen.get(carrier.freqMhz);
    if (twin !== undefined && twin.atMs === carrier.atMs) {
      throw new Error(
        `rows ${twin.row} and ${carrier.row} both have ${carrier.freqMhz} MHz at the same time`,
      );
    }
    const startMs = current?.[0]?.atMs ?? Number.NaN;
    if (current === undefined || twin !== undefined || Math.abs(carrier.atMs - startMs) > LONGEST_SWEEP_MS) {
      sweeps.push([carrier]);
      seen = new Map([[carrier.freqMhz, carrier]]);
    } else {
      current.push(carrier);
      seen.set(carrier.freqMhz, carrier);
    }
  }
  return sweeps;
}

function toSweep(carriers: readonly Carrier[], instrument: string): Sweep {
  const rising = carriers.toSorted((a, b) => a.freqMhz - b.freqMhz);
  const valuesOrNull = (pick: (carrier: Carrier) => number | null) =>
    rising.some((carrier) => pick(carrier) !== null) ? rising.map(pick) : null;
  const sweep: Sweep = {
    atMs: carriers[0]!.atMs,
    instrument,
    ambientC: carriers.find(({ ambientC }) => ambientC !== null)?.ambientC ?? null,
    freqMhz: rising.map(({ freqMhz }) => freqMhz),
    levelDbmv: rising.map(({ levelDbmv }) => levelDbmv),
    merDb: valuesOrNull(({ merDb }) => merDb),
    cnrDb: valuesOrNull(({ cnrDb }) => cnrDb),
    berPre: valuesOrNull(({ berPre }) => berPre),
    berPost: valuesOrNull(({ berPost }) => berPost),
    lostMhz: rising.filter(({ isLost }) => isLost).map(({ freqMhz }) => freqMhz),
  };
  requireContract(sweep, rising);
  return sweep;
}

/** Holds the sweep against the contract's ranges; a row is named where its value lies outside. */
function requireContract(sweep: Sweep, rising: readonly Carrier[]): void {
  const checked = checkSweep(contractSweep('point', sweep), 0, sweep.atMs, INGEST_LIMITS);
  if (!('reason' in checked)) return;
  const [, field, place] = /^sweeps\[0\]\.(\w+)(?:\[(\d+)\])?/.exec(checked.path) ?? [];
  const row = field === 'lost' || place === undefined ? '' : `row ${rising[Number(place)]!.row}, `;
  throw new Error(`${row}${field ?? 'sweep'}: ${checked.reason}`);
}
