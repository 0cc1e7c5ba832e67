import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { chown, mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import path from 'node:path';
import { setTimeout } from 'node:timers/promises';
import pg from 'pg';
import { binariesFolder } from './embedded/binaries.ts';
import { type Home, prepareHome } from './embedded/home.ts';
import { claimFolder } from './embedded/owner.ts';
import { answers, watchPort } from './embedded/watch.ts';

const MAJOR = '18';
const USER = 'levelkeep';
/** 103 bytes on macOS and the BSDs, 107 on Linux. */
const LONGEST_SOCKET = 103;
const SETTINGS = [
  'listen_addresses=127.0.0.1',
  'shared_buffers=256MB',
  'max_wal_size=2GB',
  'wal_compression=on',
  'jit=off',
];

/** A PostgreSQL of our own and the way to end it. */
export interface EmbeddedServer {
  /** Connection URL of its `levelkeep` database. */
  readonly url: string;
  /** Where its files lie: the folder asked for, or one that PostgreSQL's account can reach instead. */
  readonly folder: string;
  /** Ends the server once its clients have been let go; what was committed is on disk. */
  stop(): Promise<void>;
}

/**
 * Starts PostgreSQL 18 on the files in `wanted`, making them first where there are none. It listens on 127.0.0.1 alone,
 * on a free port, and on a socket in its data folder, with a random password kept in the folder. A server that lives on because its starter was killed
 * is taken over, and one that is killed under us is started again on its port. Throws, saying what to do, when the
 * folder is in use or from another major version.
 */
export async function startEmbedded(wanted: string): Promise<EmbeddedServer> {
  const home = await prepareHome(wanted, await binariesFolder());
  const release = claimFolder(home.folder);
  try {
    const data = path.join(home.folder, 'postgres');
    if (!existsSync(path.join(data, 'PG_VERSION'))) await initialise(home, data);
    await refuseOtherMajor(data);
    const password = await keptPassword(home.folder);

    const port = (await runningPort(home, data)) ?? (await start(home, data, await freePort()));
    await ensureDatabase(port, password);
    const endWatch = watchPort(port, async () => {
      if (!(await isRunning(home, data))) await start(home, data, port);
    });
    return {
      url: `postgres://${USER}:${password}@${hostFor(data, port)}:${port}/${USER}`,
      folder: home.folder,
      stop: async () => {
        await endWatch();
        await run(home, 'pg_ctl', ['stop', '-D', data, '-m', 'fast', '-w', '-t', '60']).catch(
          async (error) => {
            if (await isRunning(home, data)) throw error;
          },
        );
        release();
      },
    };
  } catch (error) {
    release();
    throw error;
  }
}

/** Makes the files beside their place and moves them there when they are whole: a start cut short leaves no half. */
async function initialise(home: Home, data: string): Promise<void> {
  const fresh = `${data}.new`;
  await rm(fresh, { recursive: true, force: true });
  await mkdir(fresh);
  const passwordFile = path.join(home.folder, 'postgres-password');
  await writeFile(passwordFile, await keptPassword(home.folder), { mode: 0o600 });
  const { uid, gid } = home.account;
  if (uid !== undefined && gid !== undefined) {
    await chown(fresh, uid, gid);
    await chown(passwordFile, uid, gid);
  }
  try {
    await run(home, 'initdb', [
      `--pgdata=${fresh}`,
      `--username=${USER}`,
      `--pwfile=${passwordFile}`,
      '--auth=scram-sha-256',
      '--encoding=UTF8',
      '--locale=C',
    ]);
  } finally {
    await rm(passwordFile, { force: true });
  }
  await rename(fresh, data);
}

async function refuseOtherMajor(data: string): Promise<void> {
  const major = (await readFile(path.join(data, 'PG_VERSION'), 'utf8')).trim();
  if (major === MAJOR) return;
  throw new Error(
    `the data folder ${data} was made by PostgreSQL ${major} and this is ${MAJOR}: name another folder in LEVELKEEP_DATA, ` +
      `or dump the data with PostgreSQL ${major} and restore it into a new folder`,
  );
}

/**
 * Port of the server that runs on these files already; null when none does. One that is just ending is waited for.
 */
async function runningPort(home: Home, data: string): Promise<number | null> {
  for (let tries = 0; tries < 50; tries++) {
    if (!(await isRunning(home, data))) return null;
    const lines = (await readFile(path.join(data, 'postmaster.pid'), 'utf8')).split('\n');
    const port = Number(lines[3]);
    if (await answers(port)) return port;
    await setTimeout(200);
  }
  throw new Error(`a PostgreSQL holds ${data} and does not answer: end it, then start again`);
}

function isRunning(home: Home, data: string): Promise<boolean> {
  return run(home, 'pg_ctl', ['status', '-D', data]).then(
    () => true,
    () => false,
  );
}

async function start(home: Home, data: string, port: number): Promise<number> {
  const options = [
    `-p ${port}`,
    `-c unix_socket_directories='${socketFits(data, port) ? data : ''}'`,
    ...SETTINGS.map((setting) => `-c ${setting}`),
  ];
  const log = path.join(data, 'server.log');
  try {
    await run(home, 'pg_ctl', ['start', '-D', data, '-w', '-t', '120', '-l', log, '-o', options.join(' ')]);
  } catch (cause) {
    const said = await readFile(log, 'utf8').catch(() => '');
    throw new Error(`PostgreSQL did not start on ${data}; it said:\n${said.slice(-1_000)}`, { cause });
  }
  return port;
}

/** The socket in the data folder where there is one: with it some 15 % more sweeps are taken in than over 127.0.0.1. */
function hostFor(data: string, port: number): string {
  return existsSync(socketIn(data, port)) ? encodeURIComponent(data) : '127.0.0.1';
}

/** Systems allow a socket's path so many bytes only, and quotes or spaces would not reach PostgreSQL whole. */
function socketFits(data: string, port: number): boolean {
  return (
    process.platform !== 'win32' && /^[\w./-]+$/.test(data) && socketIn(data, port).length <= LONGEST_SOCKET
  );
}

function socketIn(data: string, port: number): string {
  return path.join(data, `.s.PGSQL.${port}`);
}

async function ensureDatabase(port: number, password: string): Promise<void> {
  const client = new pg.Client({ host: '127.0.0.1', port, user: USER, password, database: 'postgres' });
  await client.connect();
  const { rowCount } = await client.query('select from pg_database where datname = $1', [USER]);
  if (rowCount === 0) await client.query(`create database ${USER}`);
  await client.end();
}

async function keptPassword(folder: string): Promise<string> {
  const file = path.join(folder, 'password');
  if (existsSync(file)) return (await readFile(file, 'utf8')).trim();
  const password = randomBytes(24).toString('hex');
  await writeFile(file, password, { mode: 0o600 });
  return password;
}

/** Runs one of PostgreSQL's programs to its end. Throws with what it said when it fails. */
async function run(home: Home, program: string, args: readonly string[]): Promise<void> {
  // The server inherits what pg_ctl holds open: a pipe would never close.
  const isStart = args[0] === 'start';
  const child = spawn(path.join(home.binaries, 'bin', program), args, {
    ...home.account,
    cwd: '/',
    env: { ...process.env, LC_ALL: 'C' },
    stdio: ['ignore', isStart ? 'ignore' : 'pipe', isStart ? 'ignore' : 'pipe'],
  });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) stream?.on('data', (chunk) => (said += chunk));
  const code = await new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('exit', resolve);
  });
  if (code !== 0) throw new Error(`${program} ended with ${code}: ${said.trim()}`);
}

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const probe = createServer();
    probe.on('error', reject);
    probe.listen(0, '127.0.0.1', () => {
      const { port } = probe.address() as { port: number };
      probe.close(() => resolve(port));
    });
  });
}
