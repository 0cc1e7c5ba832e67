/** What stands in a field: a figure, nothing yet, or something else. A decimal comma is as good as a point, and so is a true minus. */
export function figureOf(text: string): number | null | 'wrong' {
  const plain = text.trim().replaceAll('−', '-').replace(',', '.');
  if (plain === '') return null;
  return /^[-+]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : 'wrong';
}

/** The same figure with the other sign: telephones' keys for decimals have no minus. */
export function otherSign(text: string): string {
  const plain = text.trim();
  if (/^[-−]/.test(plain)) return plain.slice(1);
  return `-${plain.replace(/^\+/, '')}`;
}
