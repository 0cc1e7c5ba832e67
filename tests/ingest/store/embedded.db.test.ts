import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import pg from 'pg';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { startEmbedded } from '../../../ingest/store/embedded.ts';

const CHILD = path.join(import.meta.dirname, '../../support/embeddedChild.ts');
let folder: string;

beforeEach(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-embedded-'));
});

afterEach(() => rm(folder, { recursive: true, force: true }));

async function ask(url: string, text: string) {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return (await client.query(text)).rows;
  } finally {
    await client.end();
  }
}

async function startChild(): Promise<{ child: ChildProcess; url: string }> {
  const child = spawn(process.execPath, [CHILD, folder], { stdio: ['ignore', 'pipe', 'inherit'] });
  const [line] = await once(child.stdout!, 'data');
  return { child, url: String(line).trim() };
}

async function postmasterPid(): Promise<number> {
  return Number.parseInt(await readFile(path.join(folder, 'postgres/postmaster.pid'), 'utf8'), 10);
}

async function killHard(child: ChildProcess): Promise<void> {
  child.kill('SIGKILL');
  await once(child, 'exit');
}

test('what was committed is there after a stop and a start', async () => {
  const first = await startEmbedded(folder);
  await ask(first.url, 'create table kept as select 7 as n');
  await first.stop();
  await expect(ask(first.url, 'select 1')).rejects.toThrow();

  const second = await startEmbedded(folder);
  expect(await ask(second.url, 'select n from kept')).toEqual([{ n: 7 }]);
  await second.stop();
});

test('a server whose starter was killed is taken over', async () => {
  const { child, url } = await startChild();
  await ask(url, 'create table kept as select 7 as n');
  await killHard(child);

  const server = await startEmbedded(folder);
  expect(await ask(server.url, 'select n from kept')).toEqual([{ n: 7 }]);
  await server.stop();
});

test('after starter and PostgreSQL were both killed, what was committed is recovered', async () => {
  const { child, url } = await startChild();
  await ask(url, 'create table kept as select 7 as n');
  const postmaster = await postmasterPid();
  await killHard(child);
  process.kill(postmaster, 'SIGKILL');

  const server = await startEmbedded(folder);
  expect(await ask(server.url, 'select n from kept')).toEqual([{ n: 7 }]);
  await server.stop();
});

test('a folder that another Levelkeep uses is refused, naming its process', async () => {
  const { child } = await startChild();

  await expect(startEmbedded(folder)).rejects.toThrow(
    new RegExp(`in use by another Levelkeep \\(process ${child.pid}\\)`),
  );
  await killHard(child);
  await (await startEmbedded(folder)).stop();
});

test('the mark of a dead process is taken over when a new one has its number', async () => {
  await writeFile(path.join(folder, 'owner'), `${process.pid} 1`);

  const server = await startEmbedded(folder);
  await expect(startEmbedded(folder)).rejects.toThrow(`in use by another Levelkeep (process ${process.pid})`);
  await server.stop();
});

test('a PostgreSQL that is killed under a live Levelkeep comes back at the same address', async () => {
  const server = await startEmbedded(folder);
  await ask(server.url, 'create table kept as select 7 as n');
  process.kill(await postmasterPid(), 'SIGKILL');

  await vi.waitFor(
    async () => expect(await ask(server.url, 'select n from kept')).toEqual([{ n: 7 }]),
    30_000,
  );
  await server.stop();
});

test('a stop is quiet when PostgreSQL is dead already', async () => {
  const server = await startEmbedded(folder);
  process.kill(await postmasterPid(), 'SIGKILL');

  await server.stop();
  await (await startEmbedded(folder)).stop();
});

test('files of a first start that was cut short are made anew', async () => {
  await mkdir(path.join(folder, 'postgres.new'));
  await writeFile(path.join(folder, 'postgres.new/PG_VERSION'), '18\n');

  const server = await startEmbedded(folder);
  expect(await ask(server.url, 'select 1 as n')).toEqual([{ n: 1 }]);
  await server.stop();
});

test('files of another major version are refused, saying what to do', async () => {
  await (await startEmbedded(folder)).stop();
  await writeFile(path.join(folder, 'postgres/PG_VERSION'), '16\n');

  await expect(startEmbedded(folder)).rejects.toThrow(
    /made by PostgreSQL 16 and this is 18: name another folder/,
  );
});

test('it listens on 127.0.0.1 alone and asks for the password', async () => {
  const server = await startEmbedded(folder);

  expect(await ask(server.url, 'show listen_addresses')).toEqual([{ listen_addresses: '127.0.0.1' }]);
  await expect(ask(server.url.replace(/:[0-9a-f]{48}@/, ':wrong@'), 'select 1')).rejects.toThrow(/password/);
  await server.stop();
});

test('it is reached by a socket in the data folder, or at 127.0.0.1 where the path is too long or too odd for one', async () => {
  const reached: boolean[] = [];
  for (const name of ['short', 'long'.repeat(25), "it's odd"]) {
    const server = await startEmbedded(path.join(folder, name));
    expect(await ask(server.url, 'select 1 as n')).toEqual([{ n: 1 }]);
    const host = decodeURIComponent(new URL(server.url).hostname);
    expect([path.join(server.folder, 'postgres'), '127.0.0.1']).toContain(host);
    reached.push(host !== '127.0.0.1');
    await server.stop();
  }
  expect(reached).toEqual([true, false, false]);
});

test.skipIf(process.getuid?.() !== 0)(
  'started by root below a folder that others may not pass, it keeps its files where its account can (skipped: not root)',
  async () => {
    const server = await startEmbedded(path.join(folder, 'data'));

    expect(server.folder).toMatch(/^\/var\/lib\/levelkeep\//);
    expect(await ask(server.url, 'select 1 as n')).toEqual([{ n: 1 }]);
    await server.stop();
    await rm(server.folder, { recursive: true });
  },
);
