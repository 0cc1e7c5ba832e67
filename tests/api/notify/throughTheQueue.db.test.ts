import http from 'node:http';
import type { AddressInfo } from 'node:net';
import { setTimeout } from 'node:timers/promises';
import { pino } from 'pino';
import { expect, test } from 'vitest';
import { seal } from '../../../api/accounts/sealSecret.ts';
import type { Deps } from '../../../api/deps.ts';
import type { JobQueue } from '../../../api/jobs/jobQueue.ts';
import { openJobs } from '../../../api/jobs/openJobs.ts';
import { SEND_MESSAGE, TELL_PEOPLE } from '../../../api/notify/tellPeople.ts';
import { givenAlert, givenRule, givenTarget } from '../../support/givenAlerts.ts';
import { OUTSIDE } from '../../support/outside.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();

test('two servers on one queue hand a message over once', async () => {
  const { db, pool, url } = database;
  const bodies: string[] = [];
  const receiver = http.createServer(async (request, response) => {
    let body = '';
    for await (const chunk of request) body += chunk;
    bodies.push(body);
    response.writeHead(204).end();
  });
  await new Promise<void>((done) => receiver.listen(0, '127.0.0.1', done));
  const address = `http://127.0.0.1:${(receiver.address() as AddressInfo).port}/`;
  const sealed = seal(OUTSIDE.secret, `whsec_${Buffer.alloc(32, 7).toString('base64')}`);
  const desk = await givenTarget(db, 'Desk', { kind: 'webhook', address: null, url: address, sealed });
  await givenRule(db, Date.now() - 1000, { steps: [{ afterMin: 0, targetIds: [desk] }] });
  await givenAlert(db, Date.now() - 500);

  const queues = [TELL_PEOPLE, SEND_MESSAGE as JobQueue].map((queue) => ({ ...queue, lookEveryS: 0.5 }));
  const servers = await Promise.all(
    [1, 2].map(() =>
      openJobs(url, queues, (error) => {
        throw error;
      }),
    ),
  );
  try {
    for (const { enqueue, work } of servers) {
      const notify = { mail: null, allowPrivateWebhooks: true };
      const deps: Deps = {
        db,
        pool,
        now: Date.now,
        log: pino({ level: 'silent' }),
        ...OUTSIDE,
        notify,
        enqueue,
      };
      await work(deps);
    }
    for (const { enqueue } of servers) await enqueue(TELL_PEOPLE.name, {});
    for (let i = 0; i < 200 && bodies.length === 0; i++) await setTimeout(50);
    await servers[0]!.enqueue(TELL_PEOPLE.name, {});
    await setTimeout(1500);
  } finally {
    for (const server of servers) await server.stop();
    receiver.close();
  }
  expect(bodies).toHaveLength(1);
  expect(await db.selectFrom('delivery').select(['state', 'attempts']).execute()).toEqual([
    { state: 'sent', attempts: 1 },
  ]);
});
