import { spawn } from 'node:child_process';
import { once } from 'node:events';
import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import path from 'node:path';
import { text } from 'node:stream/consumers';
import { createAdaptorServer } from '@hono/node-server';
import { pino } from 'pino';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createIngestApp } from '../../../ingest/http/ingestApp.ts';
import { readSweeps } from '../../../ingest/store/readSweeps.ts';
import { issueSiteKey, revokeSiteKey } from '../../../ingest/store/siteKeys.ts';
import { givenPoint, givenSite } from '../../support/givenSite.ts';
import { lockedTuner, modemObjects } from '../../support/modemObjects.ts';
import { COMMUNITY, SNMPD_MISSING, startSnmpd, type TestAgent, V3_USER } from '../../support/snmpd.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const PROBE = path.join(import.meta.dirname, '../../../ingest/probe/main.ts');

/** Three locked tuners, out of order, and one that lost its channel and kept its old power. */
const tuners = [
  lockedTuner(50, 615, -73, 384),
  lockedTuner(48, 603, 51, 391),
  lockedTuner(49, 609, 0, 402),
  { ...lockedTuner(51, 621, 33, 0), ifOperStatus: 2 },
];

interface Run {
  readonly code: number | null;
  readonly out: string;
  readonly told: string;
}

/** The command that a person types, in a process of its own. */
async function probe(args: readonly string[], secrets: Record<string, string> = {}): Promise<Run> {
  const child = spawn(process.execPath, [PROBE, ...args], {
    env: { PATH: process.env['PATH'], ...secrets },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const [out, told] = await Promise.all([text(child.stdout), text(child.stderr), once(child, 'close')]);
  return { code: child.exitCode, out, told };
}

describe.skipIf(SNMPD_MISSING)(
  `npm run probe, from a modem served by snmpd to a row in PostgreSQL${SNMPD_MISSING ? ` (${SNMPD_MISSING})` : ''}`,
  () => {
    const database = withDatabase();
    let agent: TestAgent;
    let server: Server;
    let url: string;
    let siteId: number;
    let handoffId: number;
    let key: string;

    beforeAll(async () => {
      const { db, pool } = database;
      siteId = await givenSite(db);
      handoffId = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
      key = (await issueSiteKey(db, { siteId, label: 'desk modem', createdBy: 'test' })).key;
      const app = createIngestApp({ db, pool, now: Date.now, log: pino({ level: 'silent' }) });
      server = createAdaptorServer({ fetch: app.fetch }) as Server;
      server.listen(0, '127.0.0.1');
      await once(server, 'listening');
      url = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
      agent = await startSnmpd(modemObjects(tuners, 'SN-0042'));
    });
    afterAll(async () => {
      await agent.stop();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    });

    const modem = () => ['--host', '127.0.0.1', '--snmp-port', String(agent.port)];
    const stored = () =>
      readSweeps(database.db, siteId, handoffId, Date.now() - 3_600_000, Date.now() + 1_000);

    test('a v2c reading is stored as it was measured', async () => {
      const secrets = { LEVELKEEP_KEY: key, LEVELKEEP_COMMUNITY: COMMUNITY };
      const startedMs = Date.now();
      const run = await probe([...modem(), '--point', 'handoff', '--url', url], secrets);
      expect(run).toMatchObject({
        code: 0,
        out: '',
        told: expect.stringContaining('1 accepted for handoff'),
      });

      const [sweep, ...others] = await stored();
      expect(others).toEqual([]);
      expect(sweep).toMatchObject({
        instrument: 'modem-SN-0042',
        freqMhz: [603, 609, 615, 621],
        levelDbmv: [5.1, 0, -7.3, null],
        merDb: [39.1, 40.2, 38.4, null],
        cnrDb: null,
        lostMhz: [],
      });
      expect(sweep?.atMs).toBeGreaterThanOrEqual(startedMs);
      expect(sweep?.atMs).toBeLessThanOrEqual(Date.now());
    });

    test('a v3 reading is stored under the name given to the instrument', async () => {
      const run = await probe(
        [
          ...modem(),
          '--user',
          V3_USER.name,
          '--auth',
          'sha256',
          '--priv',
          'aes',
          '--instrument',
          'desk',
          '--point',
          'handoff',
          '--url',
          url,
        ],
        {
          LEVELKEEP_KEY: key,
          LEVELKEEP_AUTH_PASSWORD: V3_USER.authPassword,
          LEVELKEEP_PRIV_PASSWORD: V3_USER.privPassword,
        },
      );
      expect(run).toMatchObject({ code: 0 });
      const sweep = (await stored()).find(({ instrument }) => instrument === 'desk');
      expect(sweep).toMatchObject({ levelDbmv: [5.1, 0, -7.3, null] });
    });

    test('--print shows the sweep and sends nothing', async () => {
      const before = (await stored()).length;
      const run = await probe([...modem(), '--point', 'handoff', '--print'], {
        LEVELKEEP_COMMUNITY: COMMUNITY,
      });
      expect(run.code).toBe(0);
      expect(JSON.parse(run.out)).toMatchObject({
        sweeps: [{ point: 'handoff', freq_mhz: [603, 609, 615, 621], level_dbmv: [5.1, 0, -7.3, null] }],
      });
      expect(await stored()).toHaveLength(before);
    });

    test('a point that the site does not have is named, with exit code 5', async () => {
      const secrets = { LEVELKEEP_KEY: key, LEVELKEEP_COMMUNITY: COMMUNITY };
      const run = await probe([...modem(), '--point', 'attic', '--url', url], secrets);
      expect(run).toMatchObject({
        code: 5,
        told: expect.stringMatching(/sweeps\[0\]\.point: .*\n→ give --point/),
      });
    });

    test('a key that nobody issued and a revoked one are told apart, with exit code 5', async () => {
      const send = (secret: string) =>
        probe([...modem(), '--point', 'handoff', '--url', url], {
          LEVELKEEP_KEY: secret,
          LEVELKEEP_COMMUNITY: COMMUNITY,
        });
      expect(await send('no-such-key')).toMatchObject({
        code: 5,
        told: expect.stringContaining('does not know this site key'),
      });

      const old = await issueSiteKey(database.db, { siteId, label: 'old box', createdBy: 'test' });
      await revokeSiteKey(database.db, siteId, old.keyId, Date.now());
      expect(await send(old.key)).toMatchObject({ code: 5, told: expect.stringContaining('revoked') });
    });

    test('--every sends at once, ends at a signal with exit code 0 and leaves nothing unsent', async () => {
      const before = (await stored()).length;
      const child = spawn(
        process.execPath,
        [PROBE, ...modem(), '--point', 'handoff', '--url', url, '--every', '30s'],
        { env: { LEVELKEEP_KEY: key, LEVELKEEP_COMMUNITY: COMMUNITY }, stdio: ['ignore', 'ignore', 'pipe'] },
      );
      let told = '';
      for await (const chunk of child.stderr) {
        told += chunk;
        if (told.includes('accepted')) child.kill('SIGTERM');
      }
      if (child.exitCode === null) await once(child, 'close');
      expect(child.exitCode).toBe(0);
      expect(told).not.toContain('unsent');
      expect(await stored()).toHaveLength(before + 1);
    });

    test('wrong options end with exit code 2, a silent modem with 3', async () => {
      expect(await probe(['--point', 'handoff'])).toMatchObject({ code: 2 });
      const silent = ['--host', '127.0.0.1', '--snmp-port', '9', '--point', 'handoff', '--print'];
      expect(await probe(silent, { LEVELKEEP_COMMUNITY: COMMUNITY })).toMatchObject({ code: 3, out: '' });
    });
  },
);
