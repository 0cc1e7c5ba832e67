import type { HttpSettings, HttpSettingsInput } from '../../../../../api/schemas/httpProbe.ts';

type Access = HttpSettings['access'];
type Records = Extract<HttpSettings['format'], { is: 'records' }>;
type Mapping = Records['mapping'];

/** The part of the probe form for an instrument with a web address, as it is typed. */
export interface HttpDraft {
  url: string;
  instrument: string;
  access: Access['by'];
  user: string;
  password: string;
  headers: readonly HeaderDraft[];
  format: HttpSettings['format']['is'];
  rows: string;
  frequency: string;
  frequencyUnit: Mapping['frequencyUnit'];
  level: string;
  levelUnit: Mapping['levelUnit'];
  mer: string;
  cnr: string;
  ambient: string;
  timeFrom: Mapping['time']['from'];
  timeFields: string;
  timePattern: string;
  /** The mapping as it was stored: what this form does not ask for stays. */
  stored: Mapping | null;
}

export interface HeaderDraft {
  name: string;
  value: string;
}

export const EMPTY_HTTP: HttpDraft = {
  url: '',
  instrument: '',
  access: 'nothing',
  user: '',
  password: '',
  headers: [{ name: 'Authorization', value: '' }],
  format: 'contract',
  rows: '',
  frequency: '',
  frequencyUnit: 'MHz',
  level: '',
  levelUnit: 'dBmV',
  mer: '',
  cnr: '',
  ambient: '',
  timeFrom: 'reading',
  timeFields: '',
  timePattern: 'iso',
  stored: null,
};

/** Secrets are never shown again: their fields begin empty. */
export function httpDraft({ url, instrument, access, format }: HttpSettings): HttpDraft {
  return {
    ...EMPTY_HTTP,
    url,
    instrument: instrument ?? '',
    access: access.by,
    ...(access.by === 'password' && { user: access.user }),
    ...(access.by === 'headers' && { headers: access.names.map((name) => ({ name, value: '' })) }),
    format: format.is,
    ...(format.is === 'records' && recordsDraft(format)),
  };
}

function recordsDraft({ rows, mapping }: Records): Partial<HttpDraft> {
  const { columns, frequencyUnit, levelUnit, time } = mapping;
  const named = (column: string | number | undefined) => String(column ?? '');
  return {
    rows: rows ?? '',
    frequency: named(columns.frequency),
    frequencyUnit,
    level: named(columns.level),
    levelUnit,
    mer: named(columns.mer),
    cnr: named(columns.cnr),
    ambient: named(columns.ambient),
    timeFrom: time.from,
    ...(time.from === 'column' && {
      timeFields: [time.column].flat().join(', '),
      timePattern: time.pattern,
    }),
    stored: mapping,
  };
}

export function httpSettings(draft: HttpDraft): HttpSettingsInput {
  return {
    url: draft.url,
    instrument: draft.instrument.trim() === '' ? null : draft.instrument,
    access: accessOf(draft),
    format: formatOf(draft),
  };
}

/** Those that were typed. */
export function httpSecrets({ access, password, headers }: HttpDraft): Record<string, string> {
  if (access === 'password') return password === '' ? {} : { password };
  if (access === 'nothing') return {};
  return Object.fromEntries(
    headers.filter(({ value }) => value !== '').map(({ name, value }) => [name.trim(), value]),
  );
}

function accessOf({ access, user, headers }: HttpDraft): Access {
  if (access === 'nothing') return { by: access };
  if (access === 'password') return { by: access, user };
  return { by: access, names: headers.map(({ name }) => name.trim()) };
}

function formatOf(draft: HttpDraft): HttpSettingsInput['format'] {
  if (draft.format === 'contract') return { is: 'contract' };
  const { frequencyUnit, levelUnit, stored } = draft;
  const { berPre, berPost } = stored?.columns ?? {};
  const optional = { mer: draft.mer, cnr: draft.cnr, ambient: draft.ambient, berPre, berPost };
  const columns = {
    frequency: draft.frequency,
    level: draft.level,
    ...Object.fromEntries(Object.entries(optional).filter(([, name]) => name !== undefined && name !== '')),
  };
  return {
    is: 'records',
    rows: draft.rows.trim() === '' ? null : draft.rows,
    mapping: { ...stored, columns, frequencyUnit, levelUnit, time: timeOf(draft) },
  };
}

function timeOf({ timeFrom, timeFields, timePattern, stored }: HttpDraft): Mapping['time'] {
  if (timeFrom === 'reading') return { from: timeFrom };
  const fields = timeFields.split(',').map((name) => name.trim());
  const zone = stored?.time.from === 'column' ? stored.time.zone : undefined;
  return {
    from: timeFrom,
    column: fields.length === 1 ? fields[0]! : fields,
    pattern: timePattern,
    ...(zone !== undefined && { zone }),
  };
}
