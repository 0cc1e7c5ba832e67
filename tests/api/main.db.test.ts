import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { withDatabase } from '../support/withDatabase.ts';

const MAIN = path.join(import.meta.dirname, '../../api/main.ts');
const database = withDatabase();
const running = new Set<ChildProcess>();
let folder = '';

beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-main-'));
});
afterEach(() => {
  for (const child of running) child.kill('SIGKILL');
  running.clear();
});
afterAll(() => rm(folder, { recursive: true, force: true }));

interface Started {
  readonly child: ChildProcess;
  readonly text: () => string;
  readonly exit: Promise<number | null>;
}

function start(environment: Record<string, string>): Started {
  const child = spawn(process.execPath, [MAIN], {
    cwd: folder,
    env: {
      PATH: process.env['PATH'] ?? '',
      DATABASE_URL: database.url,
      LEVELKEEP_DATA: folder,
      ...environment,
    },
  });
  running.add(child);
  let text = '';
  child.stdout?.on('data', (chunk) => {
    text += chunk;
  });
  child.stderr?.on('data', (chunk) => {
    text += chunk;
  });
  const exit = once(child, 'close').then(([code]) => code as number | null);
  return { child, text: () => text, exit };
}

async function ready({ text, exit }: Started): Promise<void> {
  let hasEnded = false;
  void exit.then(() => {
    hasEnded = true;
  });
  while (!text().includes('Ctrl+C')) {
    if (hasEnded) throw new Error(`the server ended: ${text()}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

async function freePort(): Promise<string> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as { port: number };
  server.close();
  await once(server, 'close');
  return String(port);
}

test.each(['SIGTERM', 'SIGINT'] as const)(
  'a server prints its address and the set-up link, and ends cleanly at %s',
  async (signal) => {
    const port = await freePort();
    const server = start({ LEVELKEEP_PORT: port });
    await ready(server);
    expect(server.text()).toContain(`http://127.0.0.1:${port}`);
    expect(server.text()).toMatch(new RegExp(`http://127.0.0.1:${port}/welcome#lkl_[\\w-]{43}`));
    expect((await fetch(`http://127.0.0.1:${port}/readyz`)).status).toBe(200);

    server.child.kill(signal);
    expect(await server.exit).toBe(0);
    await expect(fetch(`http://127.0.0.1:${port}/healthz`)).rejects.toThrow();
  },
);

test('a server whose port is taken says which variable to set, and ends', async () => {
  const taken = createServer().listen(0, '127.0.0.1');
  await once(taken, 'listening');
  const { port } = taken.address() as { port: number };
  const server = start({ LEVELKEEP_PORT: String(port) });
  expect(await server.exit).toBe(1);
  expect(server.text()).toContain('LEVELKEEP_PORT');
  taken.close();
});

test('a server whose database cannot be reached says so, and ends', async () => {
  const server = start({
    DATABASE_URL: `postgres://nobody@127.0.0.1:${await freePort()}/none`,
    LEVELKEEP_PORT: await freePort(),
  });
  expect(await server.exit).toBe(1);
  expect(server.text()).toContain('DATABASE_URL');
});

test('a server with a variable that cannot be used names it, without a stack trace', async () => {
  const server = start({ LEVELKEEP_PORT: 'eighty' });
  expect(await server.exit).toBe(1);
  expect(server.text()).toContain('LEVELKEEP_PORT must be a port number');
  expect(server.text()).not.toContain('    at ');
});
