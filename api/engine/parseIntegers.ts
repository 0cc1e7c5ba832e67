const MINUS = 45;
const COMMA = 44;
const ZERO = 48;
const NULL_FIRST = 78;

/** PostgreSQL's text of an `int2[]` or `int4[]`, such as `{2010,-35,NULL}`, as numbers divided by `divisor`. */
export function parseIntegers(text: string, divisor: number): (number | null)[] {
  const values: (number | null)[] = [];
  const end = text.length - 1;
  let i = 1;
  while (i < end) {
    let code = text.charCodeAt(i);
    if (code === NULL_FIRST) {
      values.push(null);
      i += 5;
      continue;
    }
    const negative = code === MINUS;
    if (negative) code = text.charCodeAt(++i);
    let value = 0;
    while (code !== COMMA && i < end) {
      value = value * 10 + code - ZERO;
      code = text.charCodeAt(++i);
    }
    values.push((negative ? -value : value) / divisor);
    i++;
  }
  return values;
}
