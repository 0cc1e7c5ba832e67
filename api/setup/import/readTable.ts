import { CsvError } from 'csv-parse';
import { parse } from 'csv-parse/sync';
import type { ImportFault, ImportFile } from '../../schemas/siteImport.ts';
import type { ImportColumn } from './columns.ts';

/** One row, by column; cells are trimmed, and empty ones absent. */
export interface TableRow {
  /** As a spreadsheet counts: the header is row 1. */
  readonly row: number;
  readonly cells: Readonly<Record<string, string>>;
}

export interface ReadTable {
  readonly rows: readonly TableRow[];
  readonly faults: readonly ImportFault[];
}

const SEPARATORS = [';', ',', '\t'] as const;

/**
 * The rows of a file in CSV: UTF-8 with or without a byte order mark, cells divided by commas, semicolons or tabs, as the header
 * row has it; a cell in double quotes may hold line ends. Columns come in any order, capitals and blanks in their names don't
 * count. Without a sound header there are no rows.
 */
export function readTable(file: ImportFile, text: string, columns: readonly ImportColumn[]): ReadTable {
  const fault = (
    problem: string,
    row: number | null = null,
    column: string | null = null,
    value = '',
  ): ImportFault => ({
    file,
    row,
    column,
    value,
    problem,
  });
  if (/[\0\uFFFD]/.test(text)) {
    return { rows: [], faults: [fault('is not UTF-8 text: save the sheet as “CSV UTF-8”')] };
  }
  let records: string[][];
  try {
    records = parse(text, {
      bom: true,
      delimiter: separatorOf(text),
      relax_column_count: true,
      skip_empty_lines: false,
      trim: true,
    });
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    return { rows: [], faults: [fault(`can’t be read as CSV: ${error.message}`)] };
  }
  const header = (records[0] ?? []).map(columnName);
  const headerFaults = faultsOfHeader(header, columns).map(([problem, column]) => fault(problem, 1, column));
  if (headerFaults.length > 0) return { rows: [], faults: headerFaults };

  const rows: TableRow[] = [];
  const faults: ImportFault[] = [];
  records.slice(1).forEach((record, i) => {
    if (record.every((cell) => cell === '')) return;
    const row = i + 2;
    const spare = record.slice(header.length).find((cell) => cell !== '');
    if (spare !== undefined) {
      const problem =
        'the row has more cells than the header: put a text that holds the separator in double quotes';
      faults.push(fault(problem, row, null, spare));
    }
    const filled = header.map((name, column) => [name, record[column] ?? ''] as const);
    rows.push({
      row,
      cells: Object.fromEntries(filled.filter(([name, cell]) => name !== '' && cell !== '')),
    });
  });
  return { rows, faults };
}

/** The separator that the first line holds most of, outside quotes. */
function separatorOf(text: string): string {
  const [line = ''] = text.replaceAll(/"[^"]*"/g, '').split(/\r?\n/, 1);
  const count = (separator: string) => line.split(separator).length;
  return SEPARATORS.reduce((best, candidate) => (count(candidate) > count(best) ? candidate : best));
}

function columnName(cell: string): string {
  return cell
    .trim()
    .toLowerCase()
    .replaceAll(/[\s-]+/g, '_');
}

function faultsOfHeader(
  header: readonly string[],
  columns: readonly ImportColumn[],
): (readonly [problem: string, column: string])[] {
  const known = columns.map(({ name }) => name);
  const unknown = header
    .filter((name) => name !== '' && !known.includes(name))
    .map(
      (name) =>
        [`there is no such column: take it out, or name it one of ${known.join(', ')}`, name] as const,
    );
  const twice = known
    .filter((name) => header.filter((other) => other === name).length > 1)
    .map((name) => ['stands in the header twice: keep one', name] as const);
  const absent = columns
    .filter(({ name, needed }) => needed === 'always' && !header.includes(name))
    .map(({ name }) => ['is missing from the header row: add the column', name] as const);
  return [...unknown, ...twice, ...absent];
}
