import { type Drawing, INKS, type Mark } from '../drawing/drawing.ts';
import { PLAIN } from './pdfFonts.ts';

/** Draws as vectors, its upper left corner at (`left`, `top`). */
export function drawInPdf(
  pdf: PDFKit.PDFDocument,
  { marks }: Drawing,
  left: number,
  top: number,
  scale: number,
): void {
  pdf.save().translate(left, top).scale(scale).font(PLAIN);
  for (const mark of marks) drawMark(pdf, mark);
  pdf.restore();
}

function drawMark(pdf: PDFKit.PDFDocument, mark: Mark): void {
  const ink = INKS[mark.ink];
  switch (mark.mark) {
    case 'line': {
      const [first, ...rest] = mark.through;
      pdf.moveTo(...first!);
      for (const place of rest) pdf.lineTo(...place);
      pdf.lineWidth(mark.width).lineJoin('round').strokeColor(ink);
      if (mark.dash) pdf.dash(mark.dash[0], { space: mark.dash[1] });
      pdf.stroke();
      if (mark.dash) pdf.undash();
      return;
    }
    case 'box':
      pdf.rect(...mark.at, mark.width, mark.height).fill(ink);
      return;
    case 'dot':
      pdf.circle(...mark.at, mark.radius);
      if (mark.hollow) pdf.lineWidth(0.8).stroke(ink);
      else pdf.fill(ink);
      return;
    case 'text': {
      pdf.fontSize(mark.size).fillColor(ink);
      const width = pdf.widthOfString(mark.text);
      const shift = { start: 0, middle: width / 2, end: width }[mark.anchor];
      pdf.text(mark.text, mark.at[0] - shift, mark.at[1], { lineBreak: false, baseline: 'alphabetic' });
    }
  }
}
