import { buffer } from 'node:stream/consumers';
import PDFDocument from 'pdfkit';
import type { Block, ReportDocument } from '../document/block.ts';
import { type Drawing, INKS } from '../drawing/drawing.ts';
import { drawInPdf } from './pdfDrawing.ts';
import { BOLD, PLAIN } from './pdfFonts.ts';
import { drawTable } from './pdfTable.ts';

export const PAPERS = ['a4', 'letter'] as const;
export type Paper = (typeof PAPERS)[number];

const MARGIN = 40;
/** Room for the line at the foot of each page. */
const FOOT = 24;
/** Heading, sentences, both drawings and their captions at full size. */
const HEIGHT_OF_A_POINT = 745;
const HEADING_HEIGHT = { 2: 36, 3: 22 } as const;

/**
 * A report as PDF. Nothing in it comes from the clock or from chance, so that the same document gives the same bytes: it is
 * dated by the end of its period, and its file identifier follows from that and the title.
 */
export function reportPdf(document: ReportDocument, paper: Paper): Promise<Buffer> {
  const pdf = new PDFDocument({
    size: paper === 'a4' ? 'A4' : 'LETTER',
    margins: { top: MARGIN, left: MARGIN, right: MARGIN, bottom: MARGIN + FOOT },
    bufferPages: true,
    lang: 'en-GB',
    displayTitle: true,
    font: PLAIN,
    info: {
      Title: document.title,
      Subject: `SHA-256 ${document.hash}`,
      Creator: 'Levelkeep',
      Producer: 'Levelkeep',
      CreationDate: new Date(document.at),
    },
  });
  const bytes = buffer(pdf);

  pdf.font(BOLD).fontSize(17).fillColor(INKS.ink).text(document.title);
  pdf.font(PLAIN).fontSize(9.5).fillColor(INKS.quiet).text(document.subtitle).moveDown(0.8);
  document.blocks.forEach((block, i) => {
    writeBlock(pdf, block, document.blocks.slice(i + 1));
  });
  writeFeet(pdf, document);
  pdf.end();
  return bytes;
}

type Pdf = PDFKit.PDFDocument;

function writeBlock(pdf: Pdf, block: Block, following: readonly Block[]): void {
  pdf.x = MARGIN;
  switch (block.block) {
    case 'heading':
      writeHeading(pdf, block, following);
      return;
    case 'text':
      pdf
        .font(PLAIN)
        .fontSize(9)
        .fillColor(block.quiet ? INKS.quiet : INKS.ink);
      pdf.text(block.text, { lineGap: 1.5 }).moveDown(0.4);
      return;
    case 'list':
      writeList(pdf, block.items);
      return;
    case 'facts':
      writeFacts(pdf, block.rows);
      return;
    case 'table':
      drawTable(pdf, block, widthOf(pdf));
      return;
    case 'drawing':
      writeDrawing(pdf, block);
  }
}

function writeHeading(
  pdf: Pdf,
  { text, level, newPage }: Extract<Block, { block: 'heading' }>,
  following: readonly Block[],
): void {
  if (newPage) pdf.addPage();
  keepRoom(pdf, HEADING_HEIGHT[level] + leastHeight(pdf, following));
  pdf.moveDown(level === 2 ? 0.8 : 0.4);
  pdf
    .font(BOLD)
    .fontSize(level === 2 ? 12.5 : 9.5)
    .fillColor(INKS.ink)
    .text(text);
  if (level === 2) {
    const y = pdf.y + 1;
    pdf
      .moveTo(MARGIN, y)
      .lineTo(MARGIN + widthOf(pdf), y)
      .lineWidth(0.7)
      .strokeColor(INKS.ink)
      .stroke();
  }
  pdf.y += level === 2 ? 6 : 3;
}

function writeList(pdf: Pdf, items: readonly string[]): void {
  pdf.font(PLAIN).fontSize(9).fillColor(INKS.ink);
  for (const item of items) {
    const width = widthOf(pdf) - 12;
    keepRoom(pdf, pdf.heightOfString(item, { width, lineGap: 1.5 }));
    const y = pdf.y;
    pdf.text('•', MARGIN, y, { lineBreak: false });
    pdf.text(item, MARGIN + 12, y, { width, lineGap: 1.5 });
    pdf.y += 1.5;
  }
  pdf.x = MARGIN;
  pdf.y += 3;
}

function writeFacts(pdf: Pdf, rows: readonly (readonly [string, string])[]): void {
  const termWidth = 132;
  const valueWidth = widthOf(pdf) - termWidth;
  pdf.font(PLAIN).fontSize(9);
  for (const [term, value] of rows) {
    const height = Math.max(
      pdf.heightOfString(term, { width: termWidth - 8 }),
      pdf.heightOfString(value, { width: valueWidth }),
    );
    keepRoom(pdf, height + 4);
    const y = pdf.y;
    pdf.fillColor(INKS.quiet).text(term, MARGIN, y, { width: termWidth - 8 });
    pdf.fillColor(INKS.ink).text(value, MARGIN + termWidth, y, { width: valueWidth });
    const end = y + height + 2;
    pdf
      .moveTo(MARGIN, end)
      .lineTo(MARGIN + widthOf(pdf), end)
      .lineWidth(0.3)
      .strokeColor(INKS.rule)
      .stroke();
    pdf.y = end + 2;
  }
  pdf.x = MARGIN;
  pdf.y += 4;
}

function writeDrawing(pdf: Pdf, { drawing, caption }: Extract<Block, { block: 'drawing' }>): void {
  const width = widthOf(pdf);
  const scale = scaleOf(pdf, drawing);
  pdf.font(PLAIN).fontSize(7.5);
  const captionHeight = pdf.heightOfString(caption, { width });
  keepRoom(pdf, drawing.height * scale + captionHeight + 10);
  const top = pdf.y + 2;
  drawInPdf(pdf, drawing, MARGIN, top, scale);
  pdf.font(PLAIN).fontSize(7.5).fillColor(INKS.quiet);
  pdf.text(caption, MARGIN, top + drawing.height * scale + 3, { width });
  pdf.y += 6;
}

/** What must stand under a heading on the same page, so that it doesn't close one. */
function leastHeight(pdf: Pdf, [next, ...following]: readonly Block[]): number {
  if (next === undefined) return 0;
  if (next.block === 'heading') return HEADING_HEIGHT[next.level] + leastHeight(pdf, following);
  if (next.block === 'drawing') return next.drawing.height * scaleOf(pdf, next.drawing) + 40;
  return next.block === 'table' ? 80 : 50;
}

/** As wide as the page, or so high that both drawings of a point fit on one under what is said of it. */
function scaleOf(pdf: Pdf, { width }: Drawing): number {
  const usableHeight = pdf.page.maxY() - MARGIN;
  return Math.min(widthOf(pdf) / width, usableHeight / HEIGHT_OF_A_POINT);
}

/** Goes to the next page when less than `height` points are left. */
function keepRoom(pdf: Pdf, height: number): void {
  if (pdf.y + height > pdf.page.maxY()) pdf.addPage();
}

function widthOf({ page }: Pdf): number {
  return page.width - 2 * MARGIN;
}

/** Title, hash and number on every page. */
function writeFeet(pdf: Pdf, { title, hash }: ReportDocument): void {
  const { start, count } = pdf.bufferedPageRange();
  for (let i = start; i < start + count; i++) {
    pdf.switchToPage(i);
    // The foot lies in the margin, where text would begin a new page.
    pdf.page.margins.bottom = 0;
    const y = pdf.page.height - MARGIN - 6;
    const style = { width: widthOf(pdf), lineBreak: false } as const;
    pdf.font(PLAIN).fontSize(6.5).fillColor(INKS.quiet);
    pdf.text(title, MARGIN, y, style);
    pdf.text(`page ${i - start + 1} of ${count}`, MARGIN, y, { ...style, align: 'right' });
    pdf.text(`SHA-256 ${hash}`, MARGIN, y + 9, style);
  }
}
