export type CsvCell = string | number | null;

/**
 * A line of comma-separated values with its end (RFC 4180). Figures have two decimals, null is an empty field. A text that a
 * spreadsheet would take for a formula gets an apostrophe before it.
 */
export function csvLine(cells: readonly CsvCell[]): string {
  return `${cells.map(field).join(',')}\r\n`;
}

function field(cell: CsvCell): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return cell.toFixed(2);
  const safe = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
