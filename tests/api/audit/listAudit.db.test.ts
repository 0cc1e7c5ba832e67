import { beforeAll, expect, test } from 'vitest';
import { recordChange } from '../../../api/audit/recordChange.ts';
import type { AuditPage } from '../../../api/schemas/audit.ts';
import { givenSite } from '../../support/givenSite.ts';
import { withApp } from '../../support/testApp.ts';

const levelkeep = withApp();
const START = Date.parse('2026-03-01T12:00:00Z');
const HOUR_MS = 3_600_000;

beforeAll(async () => {
  const { db } = levelkeep;
  const siteId = await givenSite(db, { name: 'Alder Court' });
  const change = { via: 'session', before: null, after: { label: 'a, "b"' } };
  const rows = [
    { by: 'Rosa Field', action: 'add', subjectKind: 'point', subjectId: 3, siteId },
    { by: 'Sam Hill', action: 'change', subjectKind: 'point', subjectId: 3, siteId },
    { by: 'Rosa Field', action: 'accept', subjectKind: 'baseline', subjectId: 'point 3', siteId },
    { by: '=cmd()', action: 'add', subjectKind: 'provider', subjectId: 9, siteId: null },
  ];
  for (const [i, row] of rows.entries()) {
    await recordChange(db, { ...change, ...row }, START + i * HOUR_MS);
  }
});

const ask = async (query = ''): Promise<AuditPage> =>
  (await levelkeep.send('manager', 'GET', `/api/audit${query}`)).json() as Promise<AuditPage>;
const told = ({ rows }: AuditPage) =>
  rows.map(({ by, action, subjectKind }) => `${by} ${action} ${subjectKind}`);

test('changes are told newest first, with the site by its name', async () => {
  const page = await ask();
  expect(told(page)).toEqual([
    '=cmd() add provider',
    'Rosa Field accept baseline',
    'Sam Hill change point',
    'Rosa Field add point',
  ]);
  expect(page.more).toBe(false);
  expect(page.rows.map(({ site }) => site)).toEqual([null, 'Alder Court', 'Alder Court', 'Alder Court']);
});

test('they are found by who, what, site and period', async () => {
  expect(told(await ask('?who=rosa'))).toEqual(['Rosa Field accept baseline', 'Rosa Field add point']);
  expect(told(await ask('?what=point+add'))).toEqual(['Rosa Field add point']);
  expect((await ask('?site=alder')).rows).toHaveLength(3);
  expect(told(await ask('?from=2026-03-01T12:30:00Z&to=2026-03-01T13:30:00Z'))).toEqual([
    'Sam Hill change point',
  ]);
  expect((await ask('?who=%25')).rows).toEqual([]);
});

test('a page goes on where the one before ended', async () => {
  const first = await ask('?limit=3');
  expect(first.more).toBe(true);
  const second = await ask(`?limit=3&before=${first.rows.at(-1)!.auditId}`);
  expect(told(second)).toEqual(['Rosa Field add point']);
});

test('the CSV has a line a change, and no formula for a spreadsheet', async () => {
  const answer = await levelkeep.send('manager', 'GET', '/api/audit.csv');
  const lines = (await answer.text()).trimEnd().split('\r\n');
  expect(lines).toHaveLength(5);
  expect(lines[0]).toMatch(/^audit_id,at,by,via,action/);
  expect(lines[1]).toContain(",'=cmd(),session,add,provider,9,,,");
  expect(lines[2]).toContain('Alder Court');
});

test('the JSON lines are what the list answers', async () => {
  const answer = await levelkeep.send('manager', 'GET', '/api/audit.jsonl?who=rosa');
  const lines = (await answer.text()).trimEnd().split('\n');
  expect(lines.map((line) => JSON.parse(line))).toEqual((await ask('?who=rosa')).rows);
});
