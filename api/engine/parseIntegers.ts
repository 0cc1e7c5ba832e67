const MINUS = 45;
const COMMA = 44;
const ZERO = 48;
const NULL_FIRST = 78;

/** PostgreSQL's text of an `int2[]` or `int4[]`, such as `{2010,-35,NULL}`, as numbers divided by `divisor`. `count` is their number. */
export function parseIntegers(text: string, divisor: number, count: number): (number | null)[] {
  const values = new Array<number | null>(count);
  let place = 0;
  const end = text.length - 1;
  let i = 1;
  while (i < end) {
    let code = text.charCodeAt(i);
    if (code === NULL_FIRST) {
      values[place++] = null;
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
    values[place++] = (negative ? -value : value) / divisor;
    i++;
  }
  return values;
}
