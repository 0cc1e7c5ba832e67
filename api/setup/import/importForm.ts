import type { ImportForm } from '../../schemas/siteImport.ts';
import { type ImportColumn, POINT_COLUMNS, SITE_COLUMNS } from './columns.ts';

/** The two files in words, with a template of each that can be filled in and brought in as it is. */
export function importForm(): ImportForm {
  return {
    files: [
      { file: 'sites', columns: SITE_COLUMNS.map(columnView), template: templateOf(SITE_COLUMNS) },
      { file: 'points', columns: POINT_COLUMNS.map(columnView), template: templateOf(POINT_COLUMNS) },
    ],
  };
}

function columnView({ name, needed, words }: ImportColumn) {
  return { name, needed, words };
}

function templateOf(columns: readonly ImportColumn[]): string {
  const rows = columns[0]!.example.map((_, i) => columns.map(({ example }) => quoted(example[i]!)));
  return [columns.map(({ name }) => name), ...rows].map((cells) => `${cells.join(',')}\r\n`).join('');
}

function quoted(cell: string): string {
  return /[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
}
