import { setTimeout as sleep } from 'node:timers/promises';
import { pino } from 'pino';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { ClaimedProbe } from '../../../api/probes/claimDue.ts';
import { openDriver } from '../../../api/probes/openDriver.ts';
import { createPoller, type PollerDeps } from '../../../api/probes/poller.ts';
import { type RunningPolls, startPolling } from '../../../api/probes/startPolling.ts';
import { createAcceptSweeps } from '../../../ingest/acceptSweeps.ts';
import type { Driver } from '../../../ingest/probe/driver.ts';
import { ProbeError } from '../../../ingest/probe/probeError.ts';
import { readSweeps } from '../../../ingest/store/readSweeps.ts';
import { aSweep } from '../../support/givenSite.ts';
import { lockedTuner, modemObjects } from '../../support/modemObjects.ts';
import { COMMUNITY, SNMPD_MISSING, startSnmpd, type TestAgent, V3_USER } from '../../support/snmpd.ts';
import { SECRET } from '../../support/testApp.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { type GivenProbe, givenProbe } from './givenProbe.ts';

const database = withDatabase();
const running: RunningPolls[] = [];

beforeEach(async () => {
  for (const table of ['probe_run', 'probe_day', 'probe', 'probe_instrument'] as const) {
    await database.db.deleteFrom(table).execute();
  }
});
afterEach(async () => {
  await Promise.all(running.splice(0).map((polls) => polls.stop()));
});

function deps(changes: Partial<PollerDeps> & { driver?: Driver } = {}): PollerDeps {
  const { db, pool } = database;
  const { driver = { read: async () => aSweep(Date.now()) }, ...rest } = changes;
  return {
    db,
    log: pino({ level: 'silent' }),
    by: 'first',
    atOnce: 20,
    now: Date.now,
    openDriver: async () => driver,
    acceptSweeps: createAcceptSweeps({ db, pool }),
    isHeld: async () => false,
    ...rest,
  };
}

async function passOnce(changes: Parameters<typeof deps>[0] = {}, signal = new AbortController().signal) {
  const poller = createPoller(deps(changes), signal);
  await poller.pass();
  await poller.idle();
}

function rowOf({ siteId, probeId }: GivenProbe) {
  return database.db
    .selectFrom('probe')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('probe_id', '=', probeId)
    .executeTakeFirstOrThrow();
}

async function runsOf({ siteId, probeId }: GivenProbe) {
  return database.db
    .selectFrom('probe_run')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('probe_id', '=', probeId)
    .execute();
}

const storedAt = ({ siteId, pointId }: GivenProbe) =>
  readSweeps(database.db, siteId, pointId, Date.now() - 3_600_000, Date.now() + 1000);

describe('a server with the role jobs', () => {
  test('stores what it reads at the point of the probe, by the way that every sweep takes', async () => {
    const probe = await givenProbe(database.db, Date.now());
    await passOnce();
    expect(await storedAt(probe)).toMatchObject([{ instrument: 'probe-7' }]);
    const arrivals = await database.db.selectFrom('arrival').select('point_id').execute();
    expect(arrivals.map(({ point_id }) => point_id)).toContain(probe.pointId);
    expect(await runsOf(probe)).toMatchObject([
      {
        outcome: 'read',
        sweeps: 1,
        told: '30 channels from 111 to 285 MHz, level 0.0 to 0.0 dBmV, MER 38.0 to 38.0 dB',
      },
    ]);
  });

  test('ends a reading that takes too long, and says so', async () => {
    const probe = await givenProbe(database.db, Date.now(), { timeoutS: 1 });
    await passOnce({ driver: { read: () => new Promise(() => {}) } });
    expect(await rowOf(probe)).toMatchObject({
      last_error_code: 'out-of-time',
      last_error_text: 'no reading within 1 s',
    });
  });

  test('writes down what the driver says, and nothing of a fault that nobody foresaw', async () => {
    const told = await givenProbe(database.db, Date.now());
    await passOnce({
      driver: {
        read: async () => {
          throw new ProbeError('instrument', 'the modem is off', 'switch it on');
        },
      },
    });
    expect(await rowOf(told)).toMatchObject({
      last_error_text: 'the modem is off',
      last_error_action: 'switch it on',
    });

    const unforeseen = await givenProbe(database.db, Date.now());
    await passOnce({
      driver: {
        read: async () => {
          throw new Error('unexpected body: <secret page>');
        },
      },
    });
    const { last_error_code, last_error_text } = await rowOf(unforeseen);
    expect(last_error_code).toBe('unforeseen');
    expect(last_error_text).not.toContain('secret page');
  });

  test('calls a reading failed that the contract refuses', async () => {
    const probe = await givenProbe(database.db, Date.now());
    await passOnce({ driver: { read: async () => aSweep(Date.now() + 90 * 86_400_000) } });
    const { last_error_code, last_error_text } = await rowOf(probe);
    expect(last_error_code).toBe('sweep-refused');
    expect(last_error_text).toMatch(/^the instrument answered, but its reading was not taken: at /);
  });

  test('holds what is due in a maintenance window, and reads what somebody asks for', async () => {
    const due = await givenProbe(database.db, Date.now());
    await database.db.updateTable('probe').set({ asked_at: null, asked_by: null }).execute();
    const asked = await givenProbe(database.db, Date.now());
    await passOnce({ isHeld: async () => true });
    expect(await runsOf(due)).toMatchObject([{ outcome: 'held' }]);
    expect(await storedAt(due)).toEqual([]);
    expect(await runsOf(asked)).toMatchObject([{ outcome: 'read' }]);
  });

  test('reads no more than so many at once', async () => {
    let [busy, most] = [0, 0];
    const driver: Driver = {
      read: async () => {
        most = Math.max(most, ++busy);
        await sleep(50);
        busy--;
        return aSweep(Date.now());
      },
    };
    for (let i = 0; i < 12; i++) await givenProbe(database.db, Date.now());
    const poller = createPoller(deps({ driver, atOnce: 4 }), new AbortController().signal);
    for (let begun = await poller.pass(); begun > 0; begun = await poller.pass()) await poller.idle();
    expect(most).toBe(4);
    expect(await database.db.selectFrom('probe_run').selectAll().execute()).toHaveLength(12);
  });

  test('gives back at its stop what it was reading, for another to read at once', async () => {
    const probe = await givenProbe(database.db, Date.now());
    const begun = Promise.withResolvers<void>();
    const driver: Driver = {
      read: () => {
        begun.resolve();
        return new Promise(() => {});
      },
    };
    const polls = startPolling(deps({ driver }));
    await begun.promise;
    await polls.stop();
    expect(await runsOf(probe)).toEqual([]);
    await passOnce({ by: 'second' });
    expect(await runsOf(probe)).toMatchObject([{ outcome: 'read', tries: 1 }]);
  });

  test('gives up an instrument whose reading ends one server after another', async () => {
    const probe = await givenProbe(database.db, Date.now());
    await database.db.updateTable('probe').set({ tries: 3 }).execute();
    await passOnce();
    expect(await rowOf(probe)).toMatchObject({ last_error_code: 'server-lost', tries: 0 });
    expect(await storedAt(probe)).toEqual([]);
  });
});

test('two servers share the probes, and each is read once', async () => {
  const reads = new Map<number, number>();
  const counted = (by: string) =>
    deps({
      by,
      atOnce: 5,
      openDriver: async ({ probeId }: ClaimedProbe) => ({
        read: async () => {
          reads.set(probeId, (reads.get(probeId) ?? 0) + 1);
          await sleep(20);
          return aSweep(Date.now());
        },
      }),
    });
  for (let i = 0; i < 30; i++)
    await givenProbe(database.db, Date.now(), { schedule: { kind: 'every', intervalS: 86_400 } });
  running.push(startPolling(counted('first')), startPolling(counted('second')));
  for (let i = 0; i < 200 && reads.size < 30; i++) await sleep(50);
  await sleep(700);
  expect([...reads.values()]).toEqual(Array.from({ length: 30 }, () => 1));
});

const real = { secret: SECRET, allowLoopback: true, now: Date.now };

test('an instrument on the server itself is not read unless that is allowed', async () => {
  const settings = { host: '127.0.0.1', access: { version: '2c' as const } };
  const probe = await givenProbe(database.db, Date.now(), { settings });
  await passOnce({
    openDriver: (claimed, note) => openDriver({ ...real, allowLoopback: false }, claimed, note),
  });
  expect(await rowOf(probe)).toMatchObject({ last_error_code: 'address' });
});

test('secrets sealed under another server secret are asked for again', async () => {
  const probe = await givenProbe(database.db, Date.now());
  const other = { ...real, secret: 'another server’s secret, 32 chars.' };
  await passOnce({ openDriver: (claimed, note) => openDriver(other, claimed, note) });
  const row = await rowOf(probe);
  expect(row.last_error_code).toBe('secrets');
  expect(row.last_error_action).toContain('enter the probe’s secrets again');
});

describe.skipIf(SNMPD_MISSING)(`a modem served by snmpd${SNMPD_MISSING ? ` (${SNMPD_MISSING})` : ''}`, () => {
  let agent: TestAgent;
  beforeAll(async () => {
    agent = await startSnmpd(
      modemObjects([lockedTuner(1, 603, 51, 391), lockedTuner(2, 609, -12, 402)], 'SN-0042'),
    );
  });
  afterAll(() => agent.stop());

  const readBy = (changes: object) => ({
    ...changes,
    openDriver: (claimed: ClaimedProbe, note: (line: string) => void) => openDriver(real, claimed, note),
  });

  test('is read by SNMP v2c with the community that was sealed', async () => {
    const probe = await givenProbe(database.db, Date.now(), {
      settings: { host: '127.0.0.1', port: agent.port, access: { version: '2c' } },
      secrets: { community: COMMUNITY },
    });
    await passOnce(readBy({}));
    expect(await storedAt(probe)).toMatchObject([
      { instrument: 'modem-SN-0042', freqMhz: [603, 609], levelDbmv: [5.1, -1.2], merDb: [39.1, 40.2] },
    ]);
    const [run] = await runsOf(probe);
    expect(run!.told).toMatch(/^2 channels from 603 to 609 MHz, level −1\.2 to 5\.1 dBmV/);
  });

  test('is read by SNMP v3 with both passwords, under the name given to it', async () => {
    const access = { version: '3', user: V3_USER.name, auth: 'sha256', priv: 'aes' } as const;
    const probe = await givenProbe(database.db, Date.now(), {
      settings: { host: '127.0.0.1', port: agent.port, access, instrument: 'riser modem' },
      secrets: { authPassword: V3_USER.authPassword, privPassword: V3_USER.privPassword },
    });
    await passOnce(readBy({}));
    expect(await storedAt(probe)).toMatchObject([{ instrument: 'riser modem' }]);
  });

  test('that does not take the password is told from one that is silent', async () => {
    const access = { version: '3', user: V3_USER.name, auth: 'sha256', priv: 'aes' } as const;
    const probe = await givenProbe(database.db, Date.now(), {
      settings: { host: '127.0.0.1', port: agent.port, access },
      secrets: { authPassword: 'not the password', privPassword: V3_USER.privPassword },
    });
    await passOnce(readBy({}));
    const { last_error_text } = await rowOf(probe);
    expect(last_error_text).toContain('did not accept the passwords of user probe');
  });
});
