import type { ImportFault } from '../../../../api/schemas/siteImport.ts';

/** Faults as a sheet to work through. */
export function faultsCsv(faults: readonly ImportFault[]): string {
  const rows = faults.map(({ file, row, column, value, problem }) => [
    file,
    row ?? '',
    column ?? '',
    value,
    problem,
  ]);
  return [['file', 'row', 'column', 'holds', 'problem'], ...rows]
    .map((cells) => `${cells.map((cell) => quoted(String(cell))).join(',')}\r\n`)
    .join('');
}

/** A cell that a spreadsheet would take for a formula is kept a text. */
function quoted(cell: string): string {
  const safe = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return `"${safe.replaceAll('"', '""')}"`;
}
