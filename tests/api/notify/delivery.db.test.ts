import { randomBytes } from 'node:crypto';
import http from 'node:http';
import type { AddressInfo } from 'node:net';
import { pino } from 'pino';
import { Webhook } from 'standardwebhooks';
import { beforeEach, describe, expect, test } from 'vitest';
import { seal } from '../../../api/accounts/sealSecret.ts';
import type { Deps } from '../../../api/deps.ts';
import { deliver } from '../../../api/notify/deliver.ts';
import { planMessages } from '../../../api/notify/planMessages.ts';
import { TRIES } from '../../../api/notify/retryDelay.ts';
import { tellPeople } from '../../../api/notify/tellPeople.ts';
import { givenAlert, givenChange, givenRule, givenTarget } from '../../support/givenAlerts.ts';
import { headerOf, type Mailbox, openMailbox, partOf } from '../../support/mailbox.ts';
import { OUTSIDE } from '../../support/outside.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();
/** Thursday, noon in Chicago. */
const NOON_MS = Date.parse('2026-03-05T18:00:00Z');
const MINUTE_MS = 60_000;

let nowMs = NOON_MS;
let mailbox: Mailbox;

beforeEach(async () => {
  const { db } = database;
  for (const table of ['delivery', 'notify_rule', 'notify_target', 'alert_change', 'alert'] as const)
    await db.deleteFrom(table).execute();
  nowMs = NOON_MS;
  mailbox = await openMailbox({ hideSTARTTLS: true });
});

function depsTo(smtpUrl: string | null): Deps {
  const { db, pool } = database;
  const mail = smtpUrl === null ? null : { smtpUrl, from: 'levelkeep@levelkeep.example' };
  const log = pino({ level: 'silent' });
  const notify = { mail, allowPrivateWebhooks: true };
  return { db, pool, log, ...OUTSIDE, notify, now: () => nowMs, enqueue: async () => {} };
}

/** What the jobs do until `minute` minutes after noon, minute by minute. */
async function runUntil(minute: number, deps = depsTo(mailbox.url)): Promise<void> {
  for (; nowMs <= NOON_MS + minute * MINUTE_MS; nowMs += MINUTE_MS) {
    const due: number[] = [];
    await tellPeople({
      ...deps,
      enqueue: async (_, data) => void due.push((data as { deliveryId: number }).deliveryId),
    });
    for (const deliveryId of due) await deliver(deps, deliveryId);
  }
}

const subjects = () => mailbox.mails.map((mail) => `${mail.to}: ${headerOf(mail, 'Subject')}`);
const states = () =>
  database.db.selectFrom('delivery').select(['state', 'why', 'attempts']).orderBy('delivery_id').execute();

describe('telling people', () => {
  test('one person at once, the next after half an hour, nobody once it is acknowledged', async () => {
    const { db } = database;
    const [rosa, sam, kim] = [
      await givenTarget(db, 'Rosa'),
      await givenTarget(db, 'Sam'),
      await givenTarget(db, 'Kim'),
    ];
    const steps = [rosa, sam, kim].map((id, i) => ({ afterMin: 30 * i, targetIds: [id] }));
    await givenRule(db, NOON_MS - 1, { steps });
    const alert = await givenAlert(db, NOON_MS);

    await runUntil(40);
    expect(subjects()).toEqual([
      'rosa@quillhaven.example: Major: Level falls at the riser amplifier – a provider’s feed, 1 site',
      'sam@quillhaven.example: Major, not acknowledged: Level falls at the riser amplifier – a provider’s feed, 1 site',
    ]);
    await givenChange(db, alert, nowMs, 'acknowledged', { state: 'active-acknowledged' });
    await runUntil(120);
    expect(mailbox.mails).toHaveLength(2);
  });

  test('in words that fit a phone: what, where, since when, how long is left, what to do first', async () => {
    const { db } = database;
    const rosa = await givenTarget(db, 'Rosa');
    await givenRule(db, NOON_MS - 1, { steps: [{ afterMin: 0, targetIds: [rosa] }] });
    const alert = await givenAlert(db, NOON_MS, { title: 'Level <b>falls</b> & falls' });
    await runUntil(2);
    const text = partOf(mailbox.mails[0]!, 'text/plain');
    expect(text).toContain('MAJOR: Level <b>falls</b> & falls');
    expect(text).toContain('Since: Thu 5 Mar 2026, 12:00 CST');
    expect(text).toContain('Left: about 9 days (5 to 16)');
    expect(text).toContain('Do first: Measure the input of the amplifier.');
    expect(text).toContain('local codes and licensed practice');
    expect(text).toContain(`http://levelkeep.test/alerts/${alert}`);
    const html = partOf(mailbox.mails[0]!, 'text/html');
    expect(html).toContain('Level &lt;b&gt;falls&lt;/b&gt; &amp; falls');
    expect(html).not.toContain('<b>');
  });

  test('of a flood in one message', async () => {
    const { db } = database;
    const rosa = await givenTarget(db, 'Rosa');
    await givenRule(db, NOON_MS - 1, { steps: [{ afterMin: 0, targetIds: [rosa] }] });
    for (let i = 0; i < 50; i++) await givenAlert(db, NOON_MS + i * 1000);
    await runUntil(5);
    expect(subjects()).toEqual(['rosa@quillhaven.example: 50 alerts, 50 major: a provider’s feed, 1 site']);
    expect(partOf(mailbox.mails[0]!, 'text/plain')).toContain('… and 30 more.');
  });

  test('in the morning what is open, and what came and went in quiet hours', async () => {
    const { db } = database;
    const rosa = await givenTarget(db, 'Rosa', { quiet_from_min: 690, quiet_to_min: 780 });
    await givenRule(db, NOON_MS - 1, { steps: [{ afterMin: 0, targetIds: [rosa] }] });
    await givenAlert(db, NOON_MS, { title: 'Stays' });
    const brief = await givenAlert(db, NOON_MS, { title: 'Goes' });
    await runUntil(9);
    await givenChange(db, brief, nowMs, 'returned', { state: 'returned-unacknowledged' });
    await runUntil(59);
    expect(mailbox.mails).toEqual([]);
    await runUntil(75);
    expect(mailbox.mails).toHaveLength(1);
    const text = partOf(mailbox.mails[0]!, 'text/plain');
    expect(text).toMatch(/OPEN\n\nMAJOR: Stays[\s\S]*CAME AND WENT DURING QUIET HOURS\n\nMAJOR: Goes/);
  });

  test('not of what cleared within the minute in which messages gather', async () => {
    const { db } = database;
    const rosa = await givenTarget(db, 'Rosa');
    await givenRule(db, NOON_MS - 1, { steps: [{ afterMin: 0, targetIds: [rosa] }] });
    const alert = await givenAlert(db, NOON_MS);
    await runUntil(0);
    await givenChange(db, alert, NOON_MS + 30_000, 'returned', { state: 'returned-unacknowledged' });
    await runUntil(10);
    expect(mailbox.mails).toEqual([]);
    expect((await states()).map(({ state }) => state)).toEqual(['dropped']);
  });

  test('once fewer days are left than the rule asks for, and not of what was near before the rule', async () => {
    const { db } = database;
    const rosa = await givenTarget(db, 'Rosa');
    const about = {
      siteIds: null,
      providerIds: null,
      kind: null,
      severityAtLeast: 'warning',
      side: null,
    } as const;
    await givenRule(db, NOON_MS, {
      about: { ...about, daysLeftUnder: 7 },
      steps: [{ afterMin: 0, targetIds: [rosa] }],
    });
    const alert = await givenAlert(db, NOON_MS + 1);
    await runUntil(5);
    expect(mailbox.mails).toEqual([]);
    await db.updateTable('alert').set({ limit_days_50: 6 }).where('alert_id', '=', alert).execute();
    await runUntil(10);
    expect(mailbox.mails).toHaveLength(1);
  });
});

describe('a message', () => {
  async function givenOne(): Promise<number> {
    const { db } = database;
    const rosa = await givenTarget(db, 'Rosa');
    await givenRule(db, NOON_MS - 1, { steps: [{ afterMin: 0, targetIds: [rosa] }] });
    await givenAlert(db, NOON_MS);
    await planMessages(db, NOON_MS);
    nowMs = NOON_MS + MINUTE_MS;
    return (await db.selectFrom('delivery').select('delivery_id').executeTakeFirstOrThrow()).delivery_id;
  }

  test('is planned once, however many servers plan at once and however often', async () => {
    await givenOne();
    const planned = await Promise.all([1, 2, 3, 4].map(() => planMessages(database.db, nowMs)));
    expect(planned).toEqual([0, 0, 0, 0]);
    expect(await states()).toHaveLength(1);
  });

  test('is sent once when several servers try at once', async () => {
    const id = await givenOne();
    const tries = await Promise.all([1, 2, 3, 4, 5].map(() => deliver(depsTo(mailbox.url), id)));
    expect(tries.filter((result) => result !== null)).toHaveLength(1);
    expect(mailbox.mails).toHaveLength(1);
  });

  test('whose server died half-way goes out again under the same Message-ID once the lease is over', async () => {
    const id = await givenOne();
    await deliver(depsTo(mailbox.url), id);
    const leased_until = new Date(nowMs + 3 * MINUTE_MS);
    await database.db.updateTable('delivery').set({ state: 'waiting', leased_until }).execute();
    await database.db.updateTable('delivery_attempt').set({ ended_at: null, outcome: null }).execute();
    expect(await deliver(depsTo(mailbox.url), id)).toBeNull();
    nowMs += 4 * MINUTE_MS;
    await deliver(depsTo(mailbox.url), id);
    const [first, second] = mailbox.mails;
    expect(headerOf(second!, 'Message-ID')).toBe(headerOf(first!, 'Message-ID'));
    expect(partOf(second!, 'text/plain')).toBe(partOf(first!, 'text/plain'));
  });

  test('is tried again with longer and longer pauses, then given up, every attempt on record', async () => {
    const id = await givenOne();
    const gaps: number[] = [];
    let last = nowMs;
    for (let i = 0; i < 3000 && (await states())[0]!.state === 'waiting'; i++, nowMs += MINUTE_MS) {
      if ((await deliver(depsTo('smtp://127.0.0.1:1'), id)) === null) continue;
      gaps.push((nowMs - last) / MINUTE_MS);
      last = nowMs;
    }
    expect(gaps).toEqual([0, 1, 3, 10, 30, 60, 180, 480, 1020]);
    expect(await states()).toMatchObject([
      { state: 'dead', attempts: TRIES, why: expect.stringContaining('ECONNREFUSED') },
    ]);
    const attempts = await database.db.selectFrom('delivery_attempt').selectAll().execute();
    expect(attempts).toHaveLength(TRIES);
    expect(attempts.every(({ outcome }) => outcome === 'try-again')).toBe(true);
  });

  test('that is refused for good is a dead letter at once', async () => {
    const id = await givenOne();
    const strict = await openMailbox({
      hideSTARTTLS: true,
      onRcptTo: (_, __, done) => done(Object.assign(new Error('no such mailbox'), { responseCode: 550 })),
    });
    await deliver(depsTo(strict.url), id);
    expect(await states()).toMatchObject([
      { state: 'dead', attempts: 1, why: expect.stringContaining('550') },
    ]);
  });

  test('says why it waits where e-mail is not set up', async () => {
    const id = await givenOne();
    await deliver(depsTo(null), id);
    expect(await states()).toMatchObject([{ state: 'waiting', why: 'e-mail is not set up on this server' }]);
  });

  test('to a webhook is signed with the target’s own secret and holds figures, not prose', async () => {
    const { db } = database;
    const got: { body: string; headers: Record<string, string> }[] = [];
    const server = http.createServer(async (request, response) => {
      let body = '';
      for await (const chunk of request) body += chunk;
      got.push({ body, headers: request.headers as Record<string, string> });
      response.writeHead(204).end();
    });
    await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
    const secret = `whsec_${randomBytes(32).toString('base64')}`;
    const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}/in`;
    const sealed = seal(OUTSIDE.secret, secret);
    const hook = await givenTarget(db, 'Desk', { kind: 'webhook', address: null, url, sealed });
    await givenRule(db, NOON_MS - 1, { steps: [{ afterMin: 0, targetIds: [hook] }] });
    const alertId = await givenAlert(db, NOON_MS);
    nowMs = Date.now();
    await planMessages(db, nowMs);
    const [row] = await db.selectFrom('delivery').selectAll().execute();
    await deliver(depsTo(null), row!.delivery_id);
    server.close();
    const payload = new Webhook(secret).verify(got[0]!.body, got[0]!.headers);
    expect(payload).toMatchObject({
      type: 'alerts.changed',
      data: {
        alerts: [{ what: 'open', alertId, severity: 'major', daysToLimit: { p10: 5, p50: 9, p90: 16 } }],
      },
    });
    expect(got[0]!.headers['webhook-id']).toBe(row!.message_key);
  });
});

describe('a digest', () => {
  const atSeven = { daily: true, weekly: true, digest_min: 420, work_days: [1, 2, 3, 4, 5] } as const;
  const monday = Date.parse('2026-03-02T13:00:00Z');

  async function runDay(fromMs: number): Promise<void> {
    for (nowMs = fromMs - 30 * MINUTE_MS; nowMs < fromMs + 60 * MINUTE_MS; nowMs += 10 * MINUTE_MS) {
      const deps = depsTo(mailbox.url);
      const due: number[] = [];
      await tellPeople({
        ...deps,
        enqueue: async (_, data) => void due.push((data as { deliveryId: number }).deliveryId),
      });
      for (const id of due) await deliver(deps, id);
    }
  }

  test('is silent on a day with nothing to tell, and says so once a week', async () => {
    await givenTarget(database.db, 'Rosa', { ...atSeven, work_days: [1, 2, 3, 4, 5] });
    await runDay(monday);
    await runDay(monday + 86_400_000);
    expect(subjects()).toEqual(['rosa@quillhaven.example: This week: nothing to tell']);
    expect(partOf(mailbox.mails[0]!, 'text/plain')).toContain('Nothing is open, and nothing came up.');
  });

  test('tells once a day what is new, open and put right, for those alerts that are its reader’s', async () => {
    const { db } = database;
    const rosa = await givenTarget(db, 'Rosa', { ...atSeven, work_days: [1, 2, 3, 4, 5] });
    const about = {
      siteIds: null,
      providerIds: null,
      kind: null,
      severityAtLeast: 'major',
      side: null,
      daysLeftUnder: null,
    } as const;
    await givenRule(db, monday + 90 * 86_400_000, { about, steps: [{ afterMin: 0, targetIds: [rosa] }] });
    const tuesday = monday + 86_400_000;
    await givenAlert(db, monday - 86_400_000 * 9, { title: 'Old one' });
    await givenAlert(db, tuesday - 3_600_000, { title: 'New one', severity: 'critical' });
    await givenAlert(db, tuesday - 3_600_000, { title: 'Not hers', severity: 'minor' });
    const right = await givenAlert(db, tuesday - 7_200_000, { title: 'Mended' });
    await givenChange(db, right, tuesday - 3_600_000, 'returned', { state: 'normal' });
    await runDay(tuesday);
    expect(subjects()).toEqual(['rosa@quillhaven.example: Today: 1 new, 2 open, 1 put right']);
    const text = partOf(mailbox.mails[0]!, 'text/plain');
    expect(text).toMatch(
      /NEW\n\nCRITICAL: New one[\s\S]*OPEN FROM BEFORE\n\nMAJOR: Old one[\s\S]*PUT RIGHT\n\nMAJOR: Mended/,
    );
    expect(text).not.toContain('Not hers');
  });
});
