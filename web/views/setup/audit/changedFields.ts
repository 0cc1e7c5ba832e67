export interface ChangedField {
  readonly name: string;
  readonly before: string;
  readonly after: string;
}

/** Longer values are cut here; the files of the audit hold them whole. */
const SHOWN_LENGTH = 300;

/** The fields that differ between two JSON values, by their order; what isn't there is an en dash. */
export function changedFields(before: unknown, after: unknown): ChangedField[] {
  const [was, is] = [fieldsOf(before), fieldsOf(after)];
  return [...new Set([...Object.keys(was), ...Object.keys(is)])]
    .filter((name) => JSON.stringify(was[name]) !== JSON.stringify(is[name]))
    .map((name) => ({ name, before: words(was[name]), after: words(is[name]) }));
}

function fieldsOf(value: unknown): Record<string, unknown> {
  if (value === null || value === undefined) return {};
  return typeof value === 'object' && !Array.isArray(value) ? (value as Record<string, unknown>) : { value };
}

function words(value: unknown): string {
  if (value === null || value === undefined || value === '') return '–';
  const text = typeof value === 'string' ? value : JSON.stringify(value);
  return text.length > SHOWN_LENGTH ? `${text.slice(0, SHOWN_LENGTH)}…` : text;
}
