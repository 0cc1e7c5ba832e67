import type { Drawing } from '../drawing/drawing.ts';

export interface Column {
  readonly title: string;
  /** Figures stand at the right. */
  readonly align: 'left' | 'right';
  /** Share of the width beside those of the other columns. */
  readonly share: number;
}

export interface TableRow {
  readonly cells: readonly string[];
  /** What is outside a limit or lost; a word in the row says so too. */
  readonly marked?: boolean;
}

/** What a report is written in; the page and the PDF are two renderings of the same blocks. */
export type Block =
  | { readonly block: 'heading'; readonly text: string; readonly level: 2 | 3; readonly newPage?: boolean }
  | { readonly block: 'text'; readonly text: string; readonly quiet?: boolean }
  | { readonly block: 'list'; readonly items: readonly string[] }
  | { readonly block: 'facts'; readonly rows: readonly (readonly [term: string, value: string])[] }
  | {
      readonly block: 'table';
      readonly caption: string;
      readonly columns: readonly Column[];
      readonly rows: readonly TableRow[];
    }
  | { readonly block: 'drawing'; readonly drawing: Drawing; readonly caption: string };

export interface ReportDocument {
  readonly title: string;
  readonly subtitle: string;
  readonly hash: string;
  /** ISO 8601: the end of the period, which dates the document. */
  readonly at: string;
  readonly blocks: readonly Block[];
}
