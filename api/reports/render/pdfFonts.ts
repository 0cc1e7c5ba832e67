import { fileURLToPath } from 'node:url';

const file = (name: string) => fileURLToPath(new URL(`../fonts/${name}`, import.meta.url));

/**
 * The fonts of a PDF, by their files. They are embedded, since those that every reader has lack "−" and "≥" and most
 * alphabets. DejaVu Sans Condensed; its licence lies beside it.
 */
export const PLAIN = file('DejaVuSansCondensed.ttf');
export const BOLD = file('DejaVuSansCondensed-Bold.ttf');
