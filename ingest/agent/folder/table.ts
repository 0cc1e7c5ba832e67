import { parse } from 'csv-parse/sync';
import type { CsvOptions } from '../config/mapping.ts';

/** A file as rows of cells. Rows are counted as a person sees them in the file, from 1. */
export interface Table {
  /** Names of the columns; null when there is no header row. */
  readonly names: readonly string[] | null;
  readonly rows: readonly TableRow[];
}

export interface TableRow {
  /** Line of the file, or place in a JSON list. */
  readonly number: number;
  readonly cells: readonly string[];
}

/** The comma last: it may be a decimal sign. */
const SEPARATORS = [';', '\t', '|', ','] as const;
const LOOKED_AT_LINES = 40;

/** The text of a file: UTF-8 or UTF-16 where it is, otherwise Windows-1252, which takes any byte. */
export function fileText(bytes: Uint8Array): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

/** CSV text as a table. Throws an Error that names the line where a quote is left open. */
export function csvTable(text: string, { separator, header, skipLines }: CsvOptions): Table {
  const records = parse(text, {
    delimiter: separator ?? likelySeparator(text, skipLines),
    from_line: skipLines + 1,
    bom: true,
    info: true,
    trim: true,
    relax_column_count: true,
    skip_empty_lines: true,
  }) as unknown as { record: string[]; info: { lines: number } }[];
  const rows = records.map(({ record, info }) => ({ number: info.lines, cells: record }));
  const [first, ...rest] = rows;
  return header ? { names: first?.cells ?? [], rows: rest } : { names: null, rows };
}

/** Whichever cuts most of the first lines into the same number of cells. */
export function likelySeparator(text: string, skipLines: number): string {
  const lines = text
    .split(/\r?\n/, skipLines + LOOKED_AT_LINES)
    .slice(skipLines)
    .filter((line) => line.trim() !== '');
  let best = { separator: ',', score: 0 };
  for (const separator of SEPARATORS) {
    const counts = Map.groupBy(lines, (line) => line.split(separator).length);
    for (const [cells, alike] of counts) {
      const score = cells < 2 ? 0 : alike.length;
      if (score > best.score) best = { separator, score };
    }
  }
  return best.separator;
}

/** The rows of a JSON file: a list of objects, at `way` within it such as "scan.channels". Throws an Error. */
export function jsonTable(text: string, way: string | undefined): Table {
  let list: unknown;
  try {
    list = JSON.parse(text);
  } catch (cause) {
    throw new Error(`it is not JSON: ${cause instanceof Error ? cause.message : String(cause)}`, { cause });
  }
  for (const step of way?.split('.') ?? []) list = (list as Record<string, unknown> | null)?.[step];
  if (!Array.isArray(list))
    throw new Error(`it has no list ${way === undefined ? 'at its top' : `at “${way}”`}`);

  const names = [
    ...new Set(list.flatMap((row) => (typeof row === 'object' && row !== null ? Object.keys(row) : []))),
  ];
  return {
    names,
    rows: list.map((row: Record<string, unknown> | null, i) => ({
      number: i + 1,
      cells: names.map((name) => cellOf(row?.[name])),
    })),
  };
}

function cellOf(value: unknown): string {
  if (value === null || value === undefined) return '';
  return typeof value === 'object' ? JSON.stringify(value) : String(value);
}
