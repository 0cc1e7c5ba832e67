/** A cell's number with the given decimal sign; null when the cell holds anything else. */
export function cellNumber(cell: string, decimal: '.' | ','): number | null {
  const plain = cell.trim().replace('−', '-');
  const pattern =
    decimal === '.' ? /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/ : /^[+-]?(\d+,?\d*|,\d+)([eE][+-]?\d+)?$/;
  return pattern.test(plain) ? Number(plain.replace(',', '.')) : null;
}
