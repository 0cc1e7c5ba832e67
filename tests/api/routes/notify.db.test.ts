import { beforeAll, describe, expect, test } from 'vitest';
import type {
  AddedTarget,
  Deliveries,
  MyReach,
  NotifyView,
  Preview,
  SaveRule,
  Tried,
} from '../../../api/schemas/notify.ts';
import { fieldsOf, ok } from '../../support/answers.ts';
import { givenAlert, givenChange } from '../../support/givenAlerts.ts';
import { givenSite } from '../../support/givenSite.ts';
import { openMailbox, partOf } from '../../support/mailbox.ts';
import { addTestPerson, cookieOf, ORIGIN, signIn, withApp } from '../../support/testApp.ts';

const mail = { smtpUrl: 'smtp://127.0.0.1:1', from: 'levelkeep@levelkeep.example' };
const levelkeep = withApp({ notify: { mail, allowPrivateWebhooks: false } });
const NOON_MS = Date.parse('2026-03-05T18:00:00Z');
const REACH = {
  timeZone: 'America/Chicago',
  quiet: { from: '22:00', to: '06:15' },
  workDays: [1, 2, 3, 4, 5],
  digest: { daily: false, weekly: true, at: '07:00' },
};

const send = <T>(method: string, path: string, body?: unknown) =>
  levelkeep.send('manager', method, path, body).then((answer) => ok<T>(answer));
const refused = async (method: string, path: string, body?: unknown) =>
  fieldsOf(await levelkeep.send('manager', method, path, body));

function aRule(targetId: number, changes: Partial<SaveRule> = {}): SaveRule {
  const about = {
    siteIds: null,
    providerIds: null,
    kind: null,
    severityAtLeast: 'warning',
    side: null,
    daysLeftUnder: null,
  } as const;
  const steps = [{ afterMin: 0, targetIds: [targetId] }];
  const flags = { tellsWorse: true, tellsReturn: true, throughQuiet: true, enabled: true };
  return { name: 'everything', about, delayMin: 0, steps, ...flags, ...changes };
}

let rosa = 0;
beforeAll(async () => {
  levelkeep.nowMs = NOON_MS;
  const mailbox = { kind: 'mailbox', name: 'Night desk', address: 'desk@quillhaven.example', reach: REACH };
  rosa = (await send<AddedTarget>('POST', '/api/notify/targets', mailbox)).targetId;
});

describe('rules', () => {
  test('are saved, read as sentences, changed and removed', async () => {
    const { ruleId } = await send<{ ruleId: number }>('POST', '/api/notify/rules', aRule(rosa));
    const view = await send<NotifyView>('GET', '/api/notify');
    expect(view.mailFrom).toBe(mail.from);
    expect(view.rules).toMatchObject([
      {
        ruleId,
        sentence: expect.stringMatching(
          /^Tell Night desk \(e-mail\) about all alerts at any site, as soon as/,
        ),
      },
    ]);
    expect(view.targets).toMatchObject([{ targetId: rosa, reach: REACH, rules: 1 }]);
    await send('PUT', `/api/notify/rules/${ruleId}`, aRule(rosa, { delayMin: 5, enabled: false }));
    const changed = (await send<NotifyView>('GET', '/api/notify')).rules[0]!;
    expect(changed).toMatchObject({
      enabled: false,
      sentence: expect.stringContaining('once open for 5 min'),
    });
    expect((await levelkeep.send('manager', 'DELETE', `/api/notify/targets/${rosa}`)).status).toBe(409);
    await send('DELETE', `/api/notify/rules/${ruleId}`);
    expect((await send<NotifyView>('GET', '/api/notify')).rules).toEqual([]);
  });

  test('that name nobody, or go up out of order, are refused with the field', async () => {
    expect(await refused('POST', '/api/notify/rules', aRule(9999))).toHaveProperty(['steps.0.targetIds']);
    const steps = [
      { afterMin: 0, targetIds: [rosa] },
      { afterMin: 0, targetIds: [rosa] },
    ];
    expect(await refused('POST', '/api/notify/rules', aRule(rosa, { steps }))).toHaveProperty('steps');
    const about = { ...aRule(rosa).about, siteIds: [9999] };
    expect(await refused('POST', '/api/notify/rules', aRule(rosa, { about }))).toHaveProperty([
      'about.siteIds',
    ]);
  });

  test('show what they would have sent over the last 30 days before they are saved', async () => {
    const siteId = await givenSite(levelkeep.db, { name: 'Harbour House', town: 'Quillhaven' });
    const DAY_MS = 86_400_000;
    const alertId = await givenAlert(levelkeep.db, NOON_MS - 3 * DAY_MS, { site_id: siteId });
    await givenChange(levelkeep.db, alertId, NOON_MS - 2 * DAY_MS, 'returned', { state: 'normal' });
    await givenAlert(levelkeep.db, NOON_MS - 40 * DAY_MS, { site_id: siteId });
    const body = { rule: aRule(rosa), timeZone: 'America/Chicago' };
    const preview = await send<Preview>('POST', '/api/notify/preview', body);
    expect(preview.messages).toBe(2);
    expect(preview.targets).toEqual([{ targetId: rosa, name: 'Night desk (e-mail)', messages: 2 }]);
    expect(preview.days).toHaveLength(30);
    expect(preview.days.filter(({ messages }) => messages > 0).map(({ date }) => date)).toEqual([
      '2026-03-02',
      '2026-03-03',
    ]);
    expect(preview.latest[1]).toMatchObject({
      alerts: [{ alertId, what: 'open', where: 'Harbour House, Quillhaven' }],
    });
    expect((await send<Deliveries>('GET', '/api/notify/deliveries')).deliveries).toEqual([]);
    const quiet = {
      ...body,
      rule: aRule(rosa, { about: { ...aRule(rosa).about, severityAtLeast: 'critical' } }),
    };
    expect((await send<Preview>('POST', '/api/notify/preview', quiet)).messages).toBe(0);
  });
});

describe('targets', () => {
  test('a webhook’s secret is shown once, and once more when made anew', async () => {
    const hook = { kind: 'webhook', name: 'Service desk', url: 'https://desk.example/in' };
    const { targetId, secret } = await send<AddedTarget>('POST', '/api/notify/targets', hook);
    expect(secret).toMatch(/^whsec_[A-Za-z0-9+/]{43}=$/);
    expect(JSON.stringify(await send('GET', '/api/notify'))).not.toContain('whsec_');
    const { secret: anew } = await send<{ secret: string }>('POST', `/api/notify/targets/${targetId}/secret`);
    expect(anew).not.toBe(secret);
    const stored = await levelkeep.db.selectFrom('notify_target').select('sealed').execute();
    expect(stored.some(({ sealed }) => sealed?.includes(Buffer.from(anew)))).toBe(false);
    await send('DELETE', `/api/notify/targets/${targetId}`);
  });

  test('a webhook to a private address, and hours that are none, are refused', async () => {
    const hook = { kind: 'webhook', name: 'Service desk', url: 'https://169.254.169.254/latest' };
    expect((await refused('POST', '/api/notify/targets', hook))['url']).toContain('private');
    const mailbox = { kind: 'mailbox', name: 'x', address: 'desk@quillhaven.example' };
    const wrong = { ...REACH, timeZone: 'Nowhere', quiet: { from: '22:01', to: '06:00' }, workDays: [] };
    const fields = await refused('POST', '/api/notify/targets', { ...mailbox, reach: wrong });
    expect(Object.keys(fields).sort()).toEqual(['reach.quiet.from', 'reach.timeZone', 'reach.workDays']);
  });

  test('a test that fails says why, is on record, and can be sent again', async () => {
    const tried = await send<Tried>('POST', `/api/notify/targets/${rosa}/test`);
    expect(tried).toMatchObject({ outcome: 'try-again', detail: expect.stringContaining('ECONNREFUSED') });
    const { deliveries, dead } = await send<Deliveries>('GET', '/api/notify/deliveries?state=dead');
    expect(dead).toBe(1);
    expect(deliveries).toMatchObject([{ kind: 'test', state: 'dead', attempts: [{ outcome: 'try-again' }] }]);
    const mailbox = await openMailbox({ hideSTARTTLS: true });
    Object.assign(mail, { smtpUrl: mailbox.url });
    const again = `/api/notify/deliveries/${deliveries[0]!.deliveryId}/resend`;
    expect(await send<Tried>('POST', again)).toMatchObject({ outcome: 'accepted' });
    expect(partOf(mailbox.mails[0]!, 'text/plain')).toContain('This is a test.');
    expect((await levelkeep.send('manager', 'POST', again)).status).toBe(409);
    expect((await send<Deliveries>('GET', '/api/notify/deliveries')).dead).toBe(0);
  });
});

test('each person keeps their own hours, and a token has none', async () => {
  await addTestPerson(levelkeep, 'kim@quillhaven.example', 'viewer');
  const cookie = cookieOf(await signIn(levelkeep, 'kim@quillhaven.example'));
  const ask = (method: string, body?: unknown) =>
    levelkeep.app.request(`${ORIGIN}/api/me/notifications`, {
      method,
      headers: { cookie, origin: ORIGIN, 'content-type': 'application/json' },
      ...(body !== undefined && { body: JSON.stringify(body) }),
    });
  expect(await ok<MyReach>(await ask('GET'))).toMatchObject({
    address: 'kim@quillhaven.example',
    reach: null,
    rules: [],
  });
  await ok(await ask('PUT', REACH));
  const changed = { ...REACH, quiet: null, workDays: [6, 7] };
  await ok(await ask('PUT', changed));
  expect(await ok<MyReach>(await ask('GET'))).toMatchObject({ reach: changed });
  expect((await levelkeep.send('viewer', 'GET', '/api/me/notifications')).status).toBe(409);
  const { targets } = await send<NotifyView>('GET', '/api/notify');
  expect(targets.filter(({ kind }) => kind === 'person')).toMatchObject([
    { name: 'kim', address: 'kim@quillhaven.example' },
  ]);
});
