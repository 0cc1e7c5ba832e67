/**
 * JSON with the keys of every object in order of their UTF-16 code units and no white space, so that equal data gives
 * equal text. Numbers and strings are written as ECMAScript does; fields that are undefined are left out. That is RFC 8785
 * (JSON Canonicalization Scheme) for data without lone surrogates; from memory, to be confirmed against its text.
 *
 * @throws RangeError for a number that JSON has no word for
 */
export function canonicalJson(value: unknown): string {
  if (typeof value === 'number' && !Number.isFinite(value)) throw new RangeError(`JSON has no ${value}`);
  if (value === null || typeof value !== 'object') return JSON.stringify(value);
  if (Array.isArray(value)) return `[${value.map((item) => canonicalJson(item ?? null)).join(',')}]`;
  const fields = Object.entries(value)
    .filter(([, field]) => field !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, field]) => `${JSON.stringify(name)}:${canonicalJson(field)}`);
  return `{${fields.join(',')}}`;
}
