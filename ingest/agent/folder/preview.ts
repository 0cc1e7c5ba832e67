import { readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import type { Sweep } from '../../sweep.ts';
import { type FileFormat, fileTable, readFileSweeps } from './readFileSweeps.ts';
import { fileText, likelySeparator, type Table } from './table.ts';

const FIRST_ROWS = 12;
const CELL_WIDTH = 18;
const SEPARATOR_NAMES: Readonly<Record<string, string>> = { '\t': 'tab', ' ': 'blank' };

export interface MappedFolder {
  readonly format: FileFormat;
  readonly instrument: string | null;
  readonly zone: string;
}

/** What a mapping makes of a file, in lines for a person. Throws an Error that says what can't be read. */
export function previewMapped(file: string, { format, instrument, zone }: MappedFolder): string[] {
  const facts = { name: path.basename(file), modifiedMs: statSync(file).mtimeMs, instrument, zone };
  const sweeps = readFileSweeps(readFileSync(file), format, facts);
  return sweeps.flatMap((sweep) => sweepLines(sweep, format.point, zone));
}

/** The first rows of a file with the names and numbers of their columns, so that a mapping can be written. */
export function previewRaw(file: string, csv: FileFormat['csv'], rows: string | undefined): string[] {
  const text = fileText(readFileSync(file));
  const isJson = /^\s*[[{]/.test(text);
  const table = fileTable(text, { format: isJson ? 'json' : 'csv', csv, rows });
  const separator = csv.separator ?? likelySeparator(text, csv.skipLines);
  return [
    isJson ? 'JSON' : `CSV, separator “${SEPARATOR_NAMES[separator] ?? separator}”`,
    ...columnLines(table),
    '',
    ...table.rows
      .slice(0, FIRST_ROWS)
      .map(({ number, cells }) => `${String(number).padStart(5)}  ${cells.map(shownCell).join(' ')}`),
    '',
    table.names !== null && !isJson
      ? 'If these are not the columns’ names, set csv.skipLines to the lines above them, or csv.header to false.'
      : 'Name the columns in "mapping" by the numbers or names above.',
  ];
}

function columnLines({ names, rows }: Table): string[] {
  const width = Math.max(names?.length ?? 0, ...rows.slice(0, FIRST_ROWS).map(({ cells }) => cells.length));
  return Array.from({ length: width }, (_, i) => {
    const example = rows[0]?.cells[i] ?? '';
    return `  column ${i + 1}${names === null ? '' : ` “${names[i] ?? ''}”`}: ${example}`;
  });
}

function sweepLines(sweep: Sweep, point: string, zone: string): string[] {
  const at = new Date(sweep.atMs);
  const local = at.toLocaleString('sv-SE', { timeZone: zone, timeZoneName: 'short' });
  const shown = (value: number | null | undefined) =>
    value == null ? '–' : String(Math.round(value * 100) / 100);
  return [
    `${point}, ${sweep.instrument}, ${at.toISOString()} (${local}), ${sweep.freqMhz.length} channels`,
    ['MHz', 'dBmV', 'MER dB', 'CNR dB'].map((title) => title.padStart(10)).join(''),
    ...sweep.freqMhz
      .slice(0, FIRST_ROWS)
      .map((mhz, i) =>
        [mhz, sweep.levelDbmv[i], sweep.merDb?.[i], sweep.cnrDb?.[i]]
          .map((value) => shown(value).padStart(10))
          .join(''),
      ),
    ...(sweep.freqMhz.length > FIRST_ROWS ? [`       … ${sweep.freqMhz.length - FIRST_ROWS} more`] : []),
    ...(sweep.ambientC === null ? [] : [`  ambient ${sweep.ambientC} °C`]),
    ...(sweep.lostMhz.length === 0 ? [] : [`  lost: ${sweep.lostMhz.join(', ')} MHz`]),
    '',
  ];
}

function shownCell(cell: string): string {
  return cell.slice(0, CELL_WIDTH).padEnd(CELL_WIDTH);
}
