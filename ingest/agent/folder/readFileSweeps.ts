import type { Sweep } from '../../sweep.ts';
import type { FolderProbe } from '../config/schema.ts';
import { contractReadings } from '../sources/contractReadings.ts';
import { type FileFacts, mapTable } from './mapTable.ts';
import { csvTable, fileText, jsonTable, type Table } from './table.ts';

/** What a folder's probe says of the files in it. */
export type FileFormat = Pick<FolderProbe, 'format' | 'csv' | 'rows' | 'mapping' | 'point'>;

/** The sweeps in a meter's file. Throws an Error that says what can't be read and where. */
export function readFileSweeps(bytes: Uint8Array, format: FileFormat, file: FileFacts): Sweep[] {
  const text = fileText(bytes);
  if (format.format === 'contract') {
    const origin = { point: format.point, instrument: file.instrument, startedAt: null };
    return contractReadings(text, origin).map(({ sweep }) => sweep);
  }
  if (format.mapping === undefined) throw new Error('no mapping is set up: find the columns with --preview');
  return mapTable(fileTable(text, format), format.mapping, file);
}

/** A CSV or JSON file as a table of cells. Throws an Error. */
export function fileTable(
  text: string,
  { format, csv, rows }: Pick<FileFormat, 'format' | 'csv' | 'rows'>,
): Table {
  return format === 'json' ? jsonTable(text, rows) : csvTable(text, csv);
}
