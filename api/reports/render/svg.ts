import { html } from 'hono/html';
import { type Drawing, INKS, type Mark } from '../drawing/drawing.ts';

/** A drawing for the page. Colours are attributes: the page's policy allows no inline styles. */
export function svg({ width, height, label, marks }: Drawing) {
  return html`<svg viewBox="0 0 ${width} ${height}" role="img" aria-label="${label}" font-family="inherit">${marks.map(shape)}</svg>`;
}

function shape(mark: Mark) {
  switch (mark.mark) {
    case 'line': {
      const points = mark.through.map(([x, y]) => `${n(x)},${n(y)}`).join(' ');
      const dash = mark.dash ? mark.dash.join(' ') : 'none';
      return html`<polyline points="${points}" fill="none" stroke="${INKS[mark.ink]}" stroke-width="${mark.width}" stroke-dasharray="${dash}" stroke-linejoin="round"/>`;
    }
    case 'box':
      return html`<rect x="${n(mark.at[0])}" y="${n(mark.at[1])}" width="${n(mark.width)}" height="${n(mark.height)}" fill="${INKS[mark.ink]}"/>`;
    case 'dot':
      return mark.hollow
        ? html`<circle cx="${n(mark.at[0])}" cy="${n(mark.at[1])}" r="${mark.radius}" fill="none" stroke="${INKS[mark.ink]}" stroke-width="0.8"/>`
        : html`<circle cx="${n(mark.at[0])}" cy="${n(mark.at[1])}" r="${mark.radius}" fill="${INKS[mark.ink]}"/>`;
    case 'text':
      return html`<text x="${n(mark.at[0])}" y="${n(mark.at[1])}" font-size="${mark.size}" text-anchor="${mark.anchor}" fill="${INKS[mark.ink]}">${mark.text}</text>`;
  }
}

function n(value: number): number {
  return Number(value.toFixed(2));
}
