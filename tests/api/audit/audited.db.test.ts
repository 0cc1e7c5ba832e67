import { expect, test } from 'vitest';
import { audited } from '../../../api/audit/audited.ts';
import { addProvider, findProvider } from '../../../api/setup/providers.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();
const ada = { name: 'Ada', via: 'session' } as const;
const NOW_MS = Date.parse('2026-03-01T12:00:00Z');

const kept = () => database.db.selectFrom('audit').selectAll().orderBy('audit_id').execute();

test('a change and the row that tells of it are made together', async () => {
  const added = await audited(
    { db: database.db, actor: ada, nowMs: NOW_MS },
    (trx) => addProvider(trx, { name: 'Fenmoor Cable', contact: '' }),
    {
      action: 'add',
      subjectKind: 'provider',
      subjectId: ({ providerId }) => providerId,
      after: async (trx, { providerId }) => findProvider(trx, providerId),
    },
  );
  const [row] = await kept();
  expect(row).toMatchObject({
    at: new Date(NOW_MS),
    by_whom: 'Ada',
    via: 'session',
    action: 'add',
    subject_kind: 'provider',
    subject_id: String(added.providerId),
    site_id: null,
    before: null,
    after: { name: 'Fenmoor Cable' },
  });
});

test('a change that fails leaves neither itself nor a row', async () => {
  const rows = (await kept()).length;
  const failing = audited(
    { db: database.db, actor: ada, nowMs: NOW_MS },
    (trx) => addProvider(trx, { name: 'Half Made', contact: '' }),
    {
      action: 'add',
      subjectKind: 'provider',
      subjectId: 0,
      after: () => Promise.reject(new Error('the lights went out')),
    },
  );
  await expect(failing).rejects.toThrow('the lights went out');
  expect(await kept()).toHaveLength(rows);
  const halfMade = database.db.selectFrom('provider').select('name').where('name', '=', 'Half Made');
  expect(await halfMade.execute()).toEqual([]);
});
