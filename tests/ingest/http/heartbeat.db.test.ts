import { pino } from 'pino';
import { beforeEach, expect, test } from 'vitest';
import { createIngestApp } from '../../../ingest/http/ingestApp.ts';
import { issueSiteKey } from '../../../ingest/store/siteKeys.ts';
import { givenReport } from '../../api/punctuality/givenReadings.ts';
import { givenSite } from '../../support/givenSite.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();
const NOW = Date.parse('2026-11-12T20:30:00Z');
const REPORT = givenReport(0).report;
let nowMs = NOW;
let siteId: number;
let key: string;

beforeEach(async () => {
  nowMs = NOW;
  siteId = await givenSite(database.db);
  key = (await issueSiteKey(database.db, { siteId, label: 'box', createdBy: 'test' })).key;
});

function post(body: unknown, authorization = `Bearer ${key}`) {
  const log = pino({ level: 'silent' });
  const app = createIngestApp({ db: database.db, pool: database.pool, now: () => nowMs, log });
  return app.request('/ingest/heartbeat', {
    method: 'POST',
    headers: { authorization },
    body: typeof body === 'string' ? body : JSON.stringify(body),
  });
}

function kept() {
  return database.db
    .selectFrom('agent_report')
    .selectAll()
    .where('site_id', '=', siteId)
    .orderBy('agent')
    .execute();
}

test('the newest report of each agent is kept', async () => {
  expect((await post(REPORT)).status).toBe(204);
  nowMs += 5 * 60_000;
  expect((await post({ ...REPORT, spool: { ...REPORT.spool, waiting: 7 } })).status).toBe(204);
  expect((await post({ ...REPORT, agent: 'roof-box' })).status).toBe(204);

  const rows = await kept();
  expect(rows.map(({ agent }) => agent)).toEqual(['riser-box', 'roof-box']);
  expect(rows[0]!.received_at.getTime()).toBe(nowMs);
  expect(rows[0]!.report).toEqual({ ...REPORT, spool: { ...REPORT.spool, waiting: 7 } });
});

test('fields of a later agent are left out, and messages that are too long are cut', async () => {
  const lastError = { at: null, message: `no answer\0${'x'.repeat(2000)}`, action: 'check its power' };
  const sent = { ...REPORT, moon: 'full', sending: { ...REPORT.sending, lastError } };
  expect((await post(sent)).status).toBe(204);
  const [row] = await kept();
  expect(row!.report).not.toHaveProperty('moon');
  expect(row!.report.sending.lastError!.message).toMatch(/^no answerx{990,991}$/);
});

test.each([
  ['is no JSON', 'so it goes', 400, /no JSON/],
  ['lacks a field', { ...REPORT, spool: undefined }, 400, /^spool: /],
  ['has a time that is none', { ...REPORT, writtenAt: 'yesterday' }, 400, /^writtenAt: /],
  ['has half a character for a name', { ...REPORT, agent: '\ud800' }, 400, /^agent: must be plain text/],
  ['is far too large', { ...REPORT, moon: 'x'.repeat(70_000) }, 413, /more than 65536 bytes/],
])('a report that %s is refused with the reason', async (_, body, status, message) => {
  const answer = await post(body);
  expect(answer.status).toBe(status);
  const { error } = (await answer.json()) as { error: { message: string; action: string } };
  expect(error.message).toMatch(message);
  expect(error.action).not.toBe('');
  expect(await kept()).toEqual([]);
});

test('a report without a site key is refused', async () => {
  expect((await post(REPORT, '')).status).toBe(401);
  expect((await post(REPORT, `Bearer levelkeep_${siteId}_${'a'.repeat(43)}`)).status).toBe(401);
});

test('a sender that goes on naming new agents fills no more than its share', async () => {
  for (let i = 0; i < 55; i++) {
    nowMs += 1000;
    await post({ ...REPORT, agent: `box-${i}` });
  }
  const rows = await kept();
  expect(rows).toHaveLength(50);
  expect(rows.map(({ agent }) => agent)).toContain('box-54');
  expect(rows.map(({ agent }) => agent)).not.toContain('box-0');
});
