import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { createSocket } from 'node:dgram';
import { existsSync } from 'node:fs';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';

/** Why tests of this kind are left out where they are; null when they can run. */
export const SNMPD_MISSING = findSnmpd() === null ? 'skipped: Debian package snmpd not installed' : null;

export const COMMUNITY = 'levelkeep';
export const V3_USER = {
  name: 'probe',
  authPassword: 'auth password',
  privPassword: 'priv password',
} as const;

/** OID, type in the words of snmpd's pass_persist, value; that of `octet` is hexadecimal, a blank between bytes. */
export type ServedObject = readonly [
  oid: string,
  type: 'integer' | 'gauge' | 'counter' | 'counter64' | 'string' | 'octet',
  value: number | string,
];

export interface TestAgent {
  readonly port: number;
  /** Every request that reached the tables, such as "getnext .1.3.6.1.2.1.10.127.1.1.1.1.2". */
  requests(): Promise<string[]>;
  /** Serves other values from here on. */
  serve(objects: readonly ServedObject[]): Promise<void>;
  stop(): Promise<void>;
}

const BRANCHES = [
  '.1.3.6.1.2.1.2',
  '.1.3.6.1.2.1.31',
  '.1.3.6.1.2.1.10.127',
  '.1.3.6.1.2.1.69',
  '.1.3.6.1.4.1.4491',
];
const SERVE_TABLES = path.join(import.meta.dirname, 'serveTables.ts');

/**
 * Debian's snmpd on a free port of 127.0.0.1, serving `objects` to the community (which could write, too)
 * and to a v3 user with SHA-256 and AES.
 */
export async function startSnmpd(
  objects: readonly ServedObject[],
  systemName = 'desk-modem',
): Promise<TestAgent> {
  const snmpd = findSnmpd();
  if (snmpd === null) throw new Error('snmpd is not installed');
  const folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-snmpd-'));
  const objectsFile = path.join(folder, 'objects.json');
  const requestsFile = path.join(folder, 'requests.log');
  const logFile = path.join(folder, 'snmpd.log');
  await writeFile(objectsFile, JSON.stringify(objects));
  await writeFile(requestsFile, '');

  const branches = BRANCHES.filter((branch) => objects.some(([oid]) => `.${oid}`.startsWith(`${branch}.`)));
  const serve = (branch: string) =>
    `pass_persist ${branch} ${process.execPath} ${SERVE_TABLES} ${objectsFile} ${branch} ${requestsFile}`;
  await writeFile(
    path.join(folder, 'snmpd.conf'),
    [
      `rwcommunity ${COMMUNITY} 127.0.0.1`,
      `createUser ${V3_USER.name} SHA-256 "${V3_USER.authPassword}" AES "${V3_USER.privPassword}"`,
      `rwuser ${V3_USER.name} priv`,
      `sysName ${systemName}`,
      ...branches.map(serve),
      '',
    ].join('\n'),
  );

  const port = await freeUdpPort();
  const child = spawn(
    snmpd,
    // Its own interface table would stand where the modem's belongs.
    [
      '-f',
      '-Lf',
      logFile,
      '-C',
      '-c',
      'snmpd.conf',
      '-I',
      '-ifTable,-ifXTable,-interfaces',
      `udp:127.0.0.1:${port}`,
    ],
    {
      cwd: folder,
      env: { ...process.env, MIBS: '', SNMPCONFPATH: folder, SNMP_PERSISTENT_DIR: folder },
      stdio: 'ignore',
    },
  );
  // A test that is cut short in its set-up never gets to stop it.
  process.once('exit', () => child.kill());
  await waitUntilStarted(child, logFile);

  return {
    port,
    requests: async () => (await readFile(requestsFile, 'utf8')).split('\n').filter((line) => line !== ''),
    serve: async (others) => {
      await writeFile(objectsFile, JSON.stringify(others));
    },
    stop: async () => {
      await ended(child);
      await rm(folder, { recursive: true, force: true });
    },
  };
}

function findSnmpd(): string | null {
  const known = ['/usr/sbin/snmpd', '/usr/local/sbin/snmpd'].find((file) => existsSync(file));
  if (known !== undefined) return known;
  return spawnSync('snmpd', ['--version']).error === undefined ? 'snmpd' : null;
}

async function waitUntilStarted(child: ChildProcess, logFile: string): Promise<void> {
  for (let waitedMs = 0; waitedMs < 10_000; waitedMs += 50) {
    await sleep(50);
    const log = existsSync(logFile) ? await readFile(logFile, 'utf8') : '';
    if (log.includes('NET-SNMP version')) return;
    if (child.exitCode !== null) throw new Error(`snmpd ended: ${log}`);
  }
  await ended(child);
  throw new Error('snmpd did not start within 10 s');
}

async function ended(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null) return;
  const end = new Promise((resolve) => child.once('exit', resolve));
  child.kill('SIGTERM');
  await end;
}

function freeUdpPort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const socket = createSocket('udp4');
    socket.once('error', reject);
    socket.bind(0, '127.0.0.1', () => {
      const { port } = socket.address();
      socket.close(() => resolve(port));
    });
  });
}
