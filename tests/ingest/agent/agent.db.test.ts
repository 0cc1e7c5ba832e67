import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import type { DatabaseSync } from 'node:sqlite';
import { text } from 'node:stream/consumers';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterEach, expect, test } from 'vitest';
import { type ClockReading, machineTime } from '../../../ingest/agent/clock.ts';
import { type Agent, openAgent } from '../../../ingest/agent/openAgent.ts';
import { runAgent } from '../../../ingest/agent/runAgent.ts';
import { isDiskFull } from '../../../ingest/agent/spool/isDiskFull.ts';
import { openSpoolDatabase } from '../../../ingest/agent/spool/openSpoolDatabase.ts';
import { revokeSiteKey } from '../../../ingest/store/siteKeys.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { type AgentSite, startAgentSite } from './agentSite.ts';
import type { Manner } from './faultyServer.ts';
import { readingAt } from './readings.ts';

const CHILD = path.join(import.meta.dirname, 'agentChild.ts');
const MAIN = path.join(import.meta.dirname, '../../../ingest/agent/main.ts');
const WAIT = { timeout: 30_000, interval: 50 };
const database = withDatabase();

const ending: (() => unknown)[] = [];
afterEach(async () => {
  for (const end of ending.splice(0).reverse()) await end();
});

async function givenAgentSite(points: readonly string[]): Promise<AgentSite> {
  const site = await startAgentSite(database, points);
  ending.push(() => site.stop());
  return site;
}

interface Running {
  readonly agent: Agent;
  readonly spool: DatabaseSync;
  readonly lines: string[];
  stop(): Promise<void>;
}

/** The agent in this process, with a clock that a test can set. */
function startAgent(site: AgentSite, time: () => ClockReading = machineTime): Running {
  const lines: string[] = [];
  const say = (line: string) => void lines.push(line);
  const config = site.config();
  const spool = openSpoolDatabase(config.spool.folder, say);
  const agent = openAgent({ config, database: spool, time, random: Math.random, say });
  const abort = new AbortController();
  const run = runAgent(agent, say, abort.signal);
  const stop = async () => {
    abort.abort();
    await run;
    if (spool.isOpen) spool.close();
  };
  ending.push(stop);
  return { agent, spool, lines, stop };
}

function status({ folder }: AgentSite) {
  return JSON.parse(readFileSync(path.join(folder, 'spool/status.json'), 'utf8'));
}

/** Sends what is left, as a person would. */
async function drain({ configFile }: AgentSite): Promise<void> {
  expect(await command(['--config', configFile, '--read-now', 'handoff'])).toMatchObject({ code: 0 });
}

/**
 * Every number that the meter printed is stored once. A reading that was under way when the agent was stopped or
 * killed may never have been kept: its number is among `cutOff`.
 */
async function expectAllStoredOnce(site: AgentSite, point: string, cutOff: readonly number[]): Promise<void> {
  const numbers = (await site.stored(point)).map(({ number }) => number);
  expect(new Set(numbers).size, 'stored twice').toBe(numbers.length);
  const printed = Array.from({ length: site.printed(point) }, (_, i) => i + 1);
  const missing = printed.filter((number) => !numbers.includes(number) && !cutOff.includes(number));
  expect(missing).toEqual([]);
}

test('kill -9 at random moments, with answers lost on the way: nothing that was kept is lost or stored twice', async () => {
  const points = ['handoff', 'riser', 'attic'];
  const site = await givenAgentSite(points);
  const cutOff = new Map(points.map((point) => [point, [] as number[]]));
  const manners: Manner[] = ['well', 'store and hang up', 'well', 'half an answer'];
  let requests = 0;
  site.server.manner = () => {
    requests += 1;
    return manners[Math.floor(Math.random() * manners.length)]!;
  };

  const kills = 4;
  for (let i = 0; i < kills; i++) {
    const child = spawn(process.execPath, [CHILD, site.configFile], { stdio: 'ignore' });
    ending.push(() => child.kill('SIGKILL'));
    const before = requests;
    await expect.poll(() => requests, WAIT).toBeGreaterThan(before);
    await sleep(Math.random() * 900);
    child.kill('SIGKILL');
    await once(child, 'close');
    // A meter that was just read prints on.
    await sleep(100);
    for (const point of points) cutOff.get(point)!.push(site.printed(point));
  }

  site.server.manner = () => 'well';
  await drain(site);
  for (const point of points) {
    expect(site.printed(point)).toBeGreaterThan(kills);
    await expectAllStoredOnce(site, point, cutOff.get(point)!);
  }
}, 60_000);

test('a server that is busy, broken, away, half there or somebody else: every sweep arrives once', async () => {
  const site = await givenAgentSite(['handoff']);
  const { agent, stop } = startAgent(site);
  const bad: Manner[] = ['busy', 'broken', 'away', 'hang up', 'half an answer', 'store and hang up'];
  for (const manner of bad) {
    const printed = site.server.treated.get(manner) ?? 0;
    site.server.manner = () => manner;
    await expect.poll(() => site.server.treated.get(manner) ?? 0, WAIT).toBeGreaterThan(printed + 1);
  }
  expect(agent.disk.counts().waiting).toBeGreaterThan(0);
  expect(status(site).sending.lastError.message).toMatch(/\w/);

  site.server.manner = () => 'well';
  await expect.poll(() => agent.disk.counts().waiting, WAIT).toBe(0);
  await stop();
  const cutOff = [site.printed('handoff')];
  await drain(site);
  await expectAllStoredOnce(site, 'handoff', cutOff);
}, 60_000);

test('a key that is revoked keeps everything; the one issued in its place is taken without a restart', async () => {
  const site = await givenAgentSite(['handoff']);
  const { agent, lines, stop } = startAgent(site);
  await expect.poll(async () => (await site.stored('handoff')).length, WAIT).toBeGreaterThan(0);

  await revokeSiteKey(database.db, site.siteId, site.keyId, Date.now());
  await expect.poll(() => lines.join('\n'), WAIT).toContain('refuses it');
  await expect.poll(() => agent.disk.counts().waiting, WAIT).toBeGreaterThan(1);
  expect(agent.disk.counts().refused).toBe(0);

  // The pause after a refusal is a minute here: only the new key ends it.
  await site.issueKey();
  await expect.poll(() => agent.disk.counts().waiting, WAIT).toBe(0);
  await stop();
  expect(agent.sender.state.lastError).toBe(null);
  const cutOff = [site.printed('handoff')];
  await drain(site);
  await expectAllStoredOnce(site, 'handoff', cutOff);
});

test('a clock that was wrong after a power cut is noticed when it is set, and unsent sweeps get their true times', async () => {
  const site = await givenAgentSite(['handoff']);
  const start = Date.now();
  let wrongMs = -40 * 86_400_000;
  site.server.manner = () => 'hang up';
  const { agent, lines, stop } = startAgent(site, () => {
    const { wallMs, uptimeMs } = machineTime();
    return { wallMs: wallMs + wrongMs, uptimeMs };
  });
  // The server never got whole requests, but the agent can't know: those keep their times until an answer comes.
  await expect.poll(() => agent.disk.counts().waiting, WAIT).toBeGreaterThan(2);
  wrongMs = 0;
  await expect.poll(() => lines.join('\n'), WAIT).toContain('the clock was set forward by 3456000');
  const uncertain = agent.disk
    .nextBatch(100, 1e9)
    .filter(({ sweep }) => Date.parse(sweep.at) < start - 1_000);

  site.server.manner = () => 'well';
  await expect.poll(() => agent.disk.counts().waiting, WAIT).toBe(0);
  await expect.poll(() => status(site).clock.serverAheadS, WAIT).toBe(0);
  expect(status(site).clock.lastCorrection).toMatchObject({ byS: expect.closeTo(3_456_000, 0) });
  await stop();
  const cutOff = [site.printed('handoff')];
  await drain(site);
  await expectAllStoredOnce(site, 'handoff', cutOff);
  const wrong = (await site.stored('handoff')).filter(({ atMs }) => Math.abs(atMs - Date.now()) > 60_000);
  expect(wrong.length).toBe(uncertain.length);
});

/** Simulated: a limit on the pages of the spool's file, at which SQLite fails as on a full disk (SQLITE_FULL). */
test('while the disk takes nothing, readings go from memory; what the spool holds is kept and sent', async () => {
  const site = await givenAgentSite(['handoff', 'riser']);
  site.server.manner = () => 'away';
  const { agent, lines, spool, stop } = startAgent(site);
  await expect.poll(() => agent.disk.counts().waiting, WAIT).toBeGreaterThan(0);
  const { page_count } = spool.prepare('pragma page_count').get() as { page_count: number };
  spool.exec(`pragma max_page_count = ${page_count}`);
  const filled = fill(agent);
  await expect.poll(() => agent.intake.isDiskFull, WAIT).toBe(true);
  expect(lines.join('\n')).toContain('the disk takes nothing more');

  site.server.manner = () => 'well';
  await expect.poll(async () => (await site.stored('handoff')).length, WAIT).toBeGreaterThan(2);
  site.server.manner = () => 'away';
  fill(agent);
  await expect.poll(() => agent.memory.counts().waiting, WAIT).toBeGreaterThan(0);
  await expect.poll(() => status(site).spool.isDiskFull, WAIT).toBe(true);

  spool.exec('pragma max_page_count = 1000000');
  await expect.poll(() => agent.intake.isDiskFull, WAIT).toBe(false);
  expect(agent.memory.counts().waiting).toBe(0);
  expect(lines).toContain('the disk takes sweeps again');
  site.server.manner = () => 'well';
  await expect.poll(() => agent.disk.counts().waiting, WAIT).toBe(0);
  await stop();
  const cutOff = [site.printed('handoff')];
  await drain(site);
  await expectAllStoredOnce(site, 'handoff', cutOff);
  const fillers = (await site.stored('riser')).filter(({ number }) => number === FILLER);
  expect(fillers.length).toBeGreaterThanOrEqual(filled);
}, 60_000);

const FILLER = 2010;
let fillers = 0;

/** Puts sweeps of another point into the spool until there is no room for one; answers how many. */
function fill({ disk }: Agent): number {
  for (let added = 0; ; added++) {
    try {
      disk.add('riser', [readingAt(Date.now() - 86_400_000 + fillers++ * 1_000, {}, null)]);
    } catch (error) {
      expect(isDiskFull(error)).toBe(true);
      return added;
    }
  }
}

async function command(args: readonly string[]) {
  const child: ChildProcess = spawn(process.execPath, [MAIN, ...args], {
    env: { PATH: process.env['PATH'] },
  });
  const [out, told] = await Promise.all([text(child.stdout!), text(child.stderr!), once(child, 'close')]);
  return { code: child.exitCode, out, told };
}

test('--read-now reads and sends by itself, or has the running agent do it; a second agent is turned away', async () => {
  const site = await givenAgentSite(['handoff']);
  const config = ['--config', site.configFile];
  expect(await command([...config, '--check'])).toMatchObject({
    code: 0,
    out: expect.stringContaining('handoff, command: '),
  });
  expect(await command([...config, '--read-now', 'handoff'])).toMatchObject({
    code: 0,
    out: expect.stringContaining('handoff, meter-handoff'),
  });
  expect(await site.stored('handoff')).toMatchObject([{ number: 1 }]);
  expect(await command([...config, '--read-now', 'cellar'])).toMatchObject({
    code: 2,
    told: expect.stringContaining('no probe stands at “cellar”'),
  });

  const running = spawn(process.execPath, [MAIN, ...config], { stdio: ['ignore', 'ignore', 'pipe'] });
  ending.push(() => running.kill('SIGKILL'));
  await expect.poll(() => status(site).probes[0].driver, WAIT).toBe('command');
  expect(await command([...config, '--read-now', 'handoff'])).toMatchObject({
    code: 0,
    out: expect.stringContaining('the running agent sends it'),
  });
  await expect
    .poll(async () => (await site.stored('handoff')).map(({ number }) => number), WAIT)
    .toEqual([1, 2]);
  expect(await command(config)).toMatchObject({
    code: 2,
    told: expect.stringContaining('another agent uses'),
  });
  running.kill('SIGTERM');
  await once(running, 'close');
  expect(running.exitCode).toBe(0);

  site.server.manner = () => 'away';
  expect(await command([...config, '--read-now', 'handoff'])).toMatchObject({
    code: 4,
    told: expect.stringContaining('1 sweep waits in the spool'),
  });
});

test('the server knows from heartbeats how the agent does', async () => {
  const site = await givenAgentSite(['handoff']);
  startAgent(site);
  await expect
    .poll(async () => {
      const rows = await database.db
        .selectFrom('agent_report')
        .selectAll()
        .where('site_id', '=', site.siteId)
        .execute();
      return rows.map(({ agent, report }) => [agent, report.probes.map(({ point }) => point)]);
    }, WAIT)
    .toEqual([['box', ['handoff']]]);
  await expect.poll(async () => (await site.stored('handoff')).length, WAIT).toBeGreaterThan(2);
});
