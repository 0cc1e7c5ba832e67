import { fileURLToPath } from 'node:url';

export const PLAIN = 'plain';
export const BOLD = 'bold';

const file = (name: string) => fileURLToPath(new URL(`../fonts/${name}`, import.meta.url));

/**
 * Embedded, since the fonts that every PDF reader has lack "−" and "≥" and most alphabets. DejaVu Sans Condensed; its
 * licence lies beside it.
 */
export const FONTS = {
  [PLAIN]: file('DejaVuSansCondensed.ttf'),
  [BOLD]: file('DejaVuSansCondensed-Bold.ttf'),
} as const;
