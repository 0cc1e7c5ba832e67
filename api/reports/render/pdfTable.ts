import type { Block } from '../document/block.ts';
import { INKS } from '../drawing/drawing.ts';
import { BOLD, PLAIN } from './pdfFonts.ts';

type Table = Extract<Block, { block: 'table' }>;

const SIZE = 7.2;
const PAD = 3;

/** A table over as many pages as it takes; each begins with the head again, and no row is torn. */
export function drawTable(pdf: PDFKit.PDFDocument, { caption, columns, rows }: Table, width: number): void {
  const left = pdf.page.margins.left;
  const shares = columns.reduce((sum, { share }) => sum + share, 0);
  const widths = columns.map(({ share }) => (share / shares) * width);
  const write = (cells: readonly string[], font: string, ink: string) =>
    writeRow(pdf, cells, { font, ink, left, widths, aligns: columns.map(({ align }) => align) });
  const heightOf = (cells: readonly string[], font: string) => rowHeight(pdf, cells, font, widths);
  const head = columns.map(({ title }) => title);
  const headHeight = heightOf(head, PLAIN);
  const writeHead = () => write(head, PLAIN, INKS.quiet);

  if (pdf.y + headHeight + 60 > pdf.page.maxY()) pdf.addPage();
  pdf.font(BOLD).fontSize(8.5).fillColor(INKS.ink).text(caption, left, pdf.y, { width });
  pdf.y += 2;
  writeHead();
  for (const { cells, marked } of rows) {
    const font = marked ? BOLD : PLAIN;
    if (pdf.y + heightOf(cells, font) > pdf.page.maxY()) {
      pdf.addPage();
      writeHead();
    }
    write(cells, font, marked ? INKS.below : INKS.ink);
  }
  pdf.x = left;
  pdf.y += 8;
}

interface RowStyle {
  readonly font: string;
  readonly ink: string;
  readonly left: number;
  readonly widths: readonly number[];
  readonly aligns: readonly ('left' | 'right')[];
}

function writeRow(pdf: PDFKit.PDFDocument, cells: readonly string[], style: RowStyle): void {
  const { font, ink, left, widths, aligns } = style;
  const top = pdf.y;
  const height = rowHeight(pdf, cells, font, widths);
  pdf.font(font).fontSize(SIZE).fillColor(ink);
  let x = left;
  cells.forEach((cell, i) => {
    pdf.text(cell, x + PAD, top + 1.5, { width: widths[i]! - 2 * PAD, align: aligns[i]! });
    x += widths[i]!;
  });
  const y = top + height;
  pdf.moveTo(left, y).lineTo(x, y).lineWidth(0.3).strokeColor(INKS.rule).stroke();
  pdf.y = y;
}

function rowHeight(
  pdf: PDFKit.PDFDocument,
  cells: readonly string[],
  font: string,
  widths: readonly number[],
): number {
  pdf.font(font).fontSize(SIZE);
  return (
    Math.max(...cells.map((cell, i) => pdf.heightOfString(cell || ' ', { width: widths[i]! - 2 * PAD }))) + 3
  );
}
