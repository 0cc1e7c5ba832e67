import { expect, test } from 'vitest';
import { type HttpSettings, HttpSettingsSchema } from '../../../api/schemas/httpProbe.ts';
import {
  EMPTY_HTTP,
  httpDraft,
  httpSecrets,
  httpSettings,
} from '../../../web/views/setup/sites/probes/httpDraft.ts';

const COLUMNS = { frequency: 'f', level: 'lvl', cnr: 'cn', berPre: 'pre' };
const settings = (changes: object = {}): HttpSettings =>
  HttpSettingsSchema.parse({
    url: 'https://meter.example/list.json',
    format: { is: 'contract' },
    ...changes,
  });

test.each([
  ['open, with a sweep of the contract', settings()],
  ['with a user and a name', settings({ access: { by: 'password', user: 'reader' }, instrument: 'm-3' })],
  ['with two headers', settings({ access: { by: 'headers', names: ['X-Key', 'X-Site'] } })],
  [
    'with a list, of which the form does not ask for all',
    settings({
      format: {
        is: 'records',
        rows: 'a.b',
        mapping: {
          columns: COLUMNS,
          levelUnit: 'dBm',
          decimal: ',',
          lost: ['NC'],
          time: { from: 'column', column: ['d', 't'], pattern: 'YYYY-MM-DD hh:mm', zone: 'Europe/Berlin' },
        },
      },
    }),
  ],
])('the form keeps a set-up as it was: %s', (_, stored) => {
  expect(HttpSettingsSchema.parse(httpSettings(httpDraft(stored)))).toEqual(stored);
});

test('a field that is emptied is no longer read', () => {
  const stored = settings({
    format: { is: 'records', mapping: { columns: COLUMNS, levelUnit: 'dBmV' } },
  });
  const sent = HttpSettingsSchema.parse(httpSettings({ ...httpDraft(stored), cnr: '' }));
  expect(sent.format).toMatchObject({
    mapping: { columns: { frequency: 'f', level: 'lvl', berPre: 'pre' } },
  });
  expect(sent.format).not.toHaveProperty('mapping.columns.cnr');
});

test('only secrets that were typed, and that the access asks for, are sent', () => {
  const typed = { ...EMPTY_HTTP, password: 'quiet', headers: [{ name: ' X-Key ', value: 'a' }] };
  expect(httpSecrets(typed)).toEqual({});
  expect(httpSecrets({ ...typed, access: 'password' })).toEqual({ password: 'quiet' });
  expect(httpSecrets({ ...typed, access: 'headers' })).toEqual({ 'X-Key': 'a' });
});
