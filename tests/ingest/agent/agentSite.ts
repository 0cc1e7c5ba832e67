import { chmodSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pino } from 'pino';
import { type AgentConfig, readConfig } from '../../../ingest/agent/config/readConfig.ts';
import { createIngestApp } from '../../../ingest/http/ingestApp.ts';
import { readSweeps } from '../../../ingest/store/readSweeps.ts';
import { issueSiteKey } from '../../../ingest/store/siteKeys.ts';
import { givenPoint, givenSite } from '../../support/givenSite.ts';
import type { TestDatabase } from '../../support/withDatabase.ts';
import { type FaultyServer, startFaultyServer } from './faultyServer.ts';

/** Counts its runs in a file and prints a sweep whose level at 57 MHz is the count, in hundredths of a dBmV. */
const METER = `#!/bin/sh
n=$(($(cat count 2>/dev/null || echo 0) + 1))
echo $n > count.new && mv count.new count
printf '{"freq_mhz":[57,63],"level_dbmv":[%d.%02d,null]}' $((n / 100)) $((n % 100))
`;

/** A site with a server that can fail, and a box whose meters number their sweeps. */
export interface AgentSite {
  readonly server: FaultyServer;
  readonly folder: string;
  readonly configFile: string;
  readonly siteId: number;
  readonly keyId: number;
  /** The config with times that a test can wait for. */
  config(): AgentConfig;
  /** How many sweeps the meter of a point has printed. */
  printed(point: string): number;
  /** Numbers and times of the sweeps in the server's database, in order of their numbers. */
  stored(point: string): Promise<{ number: number; atMs: number }[]>;
  issueKey(): Promise<void>;
  stop(): Promise<void>;
}

const FAST = { every: 300, floor: 1, timeout: 10_000, spread: 0 };
export const FAST_RETRY = { first: 100, most: 400, refused: 60_000 };

export async function startAgentSite(
  { db, pool }: TestDatabase,
  points: readonly string[],
): Promise<AgentSite> {
  const folder = mkdtempSync(path.join(tmpdir(), 'levelkeep-agent-'));
  const siteId = await givenSite(db);
  const pointIds = new Map<string, number>();
  for (const point of points) {
    pointIds.set(point, await givenPoint(db, siteId, { name: point }));
    mkdirSync(path.join(folder, point));
    writeFileSync(path.join(folder, point, 'meter'), METER);
    chmodSync(path.join(folder, point, 'meter'), 0o755);
  }
  const app = createIngestApp({ db, pool, now: Date.now, log: pino({ level: 'silent' }) });
  const server = await startFaultyServer((request) => app.fetch(request));

  const configFile = path.join(folder, 'agent.json');
  const probes = points.map((point) => ({
    point,
    every: '30s',
    driver: 'command',
    program: './meter',
    folder: point,
    instrument: `meter-${point}`,
  }));
  const config = { agent: 'box', zone: 'UTC', server: { url: server.url, keyFile: 'site.key' }, probes };
  writeFileSync(configFile, JSON.stringify(config));
  const issueKey = async () => {
    const issued = await issueSiteKey(db, { siteId, label: 'box', createdBy: 'test' });
    writeFileSync(path.join(folder, 'site.key'), issued.key, { mode: 0o600 });
    return issued.keyId;
  };

  return {
    server,
    folder,
    configFile,
    siteId,
    keyId: await issueKey(),
    config: () => fastConfig(configFile),
    printed: (point) => Number(readFileSync(path.join(folder, point, 'count'), 'utf8')),
    async stored(point) {
      const sweeps = await readSweeps(db, siteId, pointIds.get(point)!, 0, Date.now() + 365 * 86_400_000);
      return sweeps
        .map(({ levelDbmv, atMs }) => ({ number: Math.round(levelDbmv[0]! * 100), atMs }))
        .sort((a, b) => a.number - b.number);
    },
    async issueKey() {
      await issueKey();
    },
    async stop() {
      await server.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** A config read as usual, whose probes read and whose sender retries as often as no person would want. */
export function fastConfig(file: string): AgentConfig {
  const config = readConfig(file, {});
  return {
    ...config,
    server: { ...config.server, retry: FAST_RETRY },
    probes: config.probes.map((probe) => ({ ...probe, ...FAST })),
  };
}
