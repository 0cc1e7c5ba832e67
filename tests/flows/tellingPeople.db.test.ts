import { pino } from 'pino';
import { expect, test } from 'vitest';
import { acknowledge } from '../../api/alerts/actions.ts';
import { syncAlerts } from '../../api/alerts/syncAlerts.ts';
import type { Deps } from '../../api/deps.ts';
import { deliver } from '../../api/notify/deliver.ts';
import { tellPeople } from '../../api/notify/tellPeople.ts';
import { givenRule, givenTarget } from '../support/givenAlerts.ts';
import { THIRTY_CHANNELS } from '../support/givenSite.ts';
import { headerOf, openMailbox, partOf } from '../support/mailbox.ts';
import { OUTSIDE } from '../support/outside.ts';
import { withDatabase } from '../support/withDatabase.ts';
import { DAY_MS, type Feed, FROM_MS, givenHandoffSite, HOUR_MS, hourlySweeps } from './handoffSite.ts';

const database = withDatabase();
const MINUTE_MS = 60_000;
const STEP_MS = FROM_MS + 6 * DAY_MS;
const UNTIL_MS = STEP_MS + 8 * HOUR_MS;

/** The feed loses 12 dB at one stroke. */
function feedAt(atMs: number): Feed {
  const levelDbmv = atMs < STEP_MS ? 20 : 8;
  return { levelsDbmv: new Map(THIRTY_CHANNELS.map(({ centreMhz }) => [centreMhz, levelDbmv])), lostMhz: [] };
}

test('a fall of level becomes a finding, an alert, an e-mail to the first and, until somebody acknowledges, to the next', async () => {
  const { db, pool } = database;
  const mailbox = await openMailbox({ hideSTARTTLS: true });
  const mail = { smtpUrl: mailbox.url, from: 'levelkeep@levelkeep.example' };
  let nowMs = UNTIL_MS;
  const deps: Deps = {
    db,
    pool,
    log: pino({ level: 'silent' }),
    ...OUTSIDE,
    notify: { mail, allowPrivateWebhooks: false },
    now: () => nowMs,
    enqueue: async () => {},
  };
  const pass = async (minutes: number) => {
    for (let i = 0; i < minutes; i++, nowMs += MINUTE_MS) {
      const due: number[] = [];
      await tellPeople({
        ...deps,
        enqueue: async (_, data) => void due.push((data as { deliveryId: number }).deliveryId),
      });
      for (const id of due) await deliver(deps, id);
    }
  };

  const [rosa, sam, kim] = [
    await givenTarget(db, 'Rosa'),
    await givenTarget(db, 'Sam'),
    await givenTarget(db, 'Kim'),
  ];
  const steps = [rosa, sam, kim].map((id, i) => ({ afterMin: 30 * i, targetIds: [id] }));
  await givenRule(db, STEP_MS, { name: 'Everything', steps });

  const site = await givenHandoffSite(database, UNTIL_MS);
  await site.deliver(hourlySweeps(FROM_MS, STEP_MS, feedAt));
  await site.acceptFirstDays();
  await site.deliver(hourlySweeps(STEP_MS, UNTIL_MS, feedAt));
  const findings = await db.selectFrom('finding').select('kind').where('closed_at', 'is', null).execute();
  expect(findings).toEqual([{ kind: 'step' }]);

  await syncAlerts(db, site.siteId, nowMs);
  const alerts = await db.selectFrom('alert').selectAll().where('closed_at', 'is', null).execute();
  expect(alerts).toHaveLength(1);
  const alert = alerts[0]!;
  expect(alert.state).toBe('active-unacknowledged');
  nowMs = alert.raised_at.getTime();

  await pass(5);
  expect(mailbox.mails.map(({ to }) => to)).toEqual([['rosa@quillhaven.example']]);
  const text = partOf(mailbox.mails[0]!, 'text/plain');
  expect(headerOf(mailbox.mails[0]!, 'Subject')).toContain(alert.title);
  expect(text).toContain(`Do first: ${alert.do_first.replaceAll(/\s+/g, ' ').trim()}`);
  expect(text).toContain(`${OUTSIDE.origin}/alerts/${alert.alert_id}`);

  await pass(30);
  expect(mailbox.mails.map(({ to }) => to[0])).toEqual(['rosa@quillhaven.example', 'sam@quillhaven.example']);
  expect(headerOf(mailbox.mails[1]!, 'Subject')).toContain('not acknowledged');

  await acknowledge(db, alert.alert_id, { by: 'Sam Reed', why: 'on my way' }, nowMs);
  await pass(60);
  expect(mailbox.mails).toHaveLength(2);
});
