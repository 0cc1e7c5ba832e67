import type { ZodType } from 'zod';
import { faultText } from '../../faultText.ts';
import type { ImportFault, ImportFile } from '../../schemas/siteImport.ts';
import type { ImportColumn } from './columns.ts';
import type { TableRow } from './readTable.ts';

const SECONDS_A_MINUTE = 60;
const YES: Readonly<Record<string, boolean>> = { yes: true, no: false };

/** A row's cells as the API's fields; what can't be is told by column. Empty cells give no field. */
export function fieldsOfRow<T>(
  file: ImportFile,
  { row, cells }: TableRow,
  columns: readonly ImportColumn[],
  schema: ZodType<T>,
): { readonly fields: T | null; readonly faults: readonly ImportFault[] } {
  const faults: ImportFault[] = [];
  const given: Record<string, unknown> = {};
  for (const column of columns) {
    const cell = cells[column.name];
    if (cell === undefined) continue;
    const read = readCell(column, cell);
    if ('problem' in read)
      faults.push({ file, row, column: column.name, value: cell, problem: read.problem });
    else given[column.field] = read.value;
  }
  const parsed = schema.safeParse(given);
  if (parsed.success) return { fields: faults.length === 0 ? parsed.data : null, faults };
  for (const issue of parsed.error.issues) {
    const column = columns.find(({ field }) => field === issue.path[0]);
    if (column === undefined || faults.some((fault) => fault.column === column.name)) continue;
    faults.push({
      file,
      row,
      column: column.name,
      value: cells[column.name] ?? '',
      problem: faultText(issue),
    });
  }
  return { fields: null, faults };
}

function readCell({ name, kind }: ImportColumn, cell: string): { value: unknown } | { problem: string } {
  if (kind === 'yes-no') {
    const value = YES[cell.toLowerCase()];
    return value === undefined ? { problem: 'must be yes or no' } : { value };
  }
  if (kind === 'number') {
    if (cell.includes(',')) {
      return { problem: 'has a comma: write a decimal point, such as 41.88, and no comma between thousands' };
    }
    if (!/^[+-]?\d+(\.\d+)?$/.test(cell)) return { problem: 'must be a number, without a unit' };
    const value = Number(cell);
    return { value: name === 'interval_minutes' ? Math.round(value * SECONDS_A_MINUTE) : value };
  }
  return { value: name === 'kind' ? cell.toLowerCase().replaceAll(/[\s_]+/g, '-') : cell };
}
