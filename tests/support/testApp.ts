import { hashPassword } from 'better-auth/crypto';
import { pino } from 'pino';
import { beforeAll } from 'vitest';
import { ROLES, type Role } from '../../api/accounts/actor.ts';
import { addPerson } from '../../api/accounts/addPerson.ts';
import { createAuth } from '../../api/accounts/auth.ts';
import { issueToken } from '../../api/accounts/automationTokens.ts';
import { withAccounts } from '../../api/accounts/tables.ts';
import { type AppDeps, createApp } from '../../api/app.ts';
import type { Enqueue } from '../../api/jobs/jobQueue.ts';
import { OUTSIDE } from './outside.ts';
import { type TestDatabase, withDatabase } from './withDatabase.ts';

export const ORIGIN = OUTSIDE.origin;
/** The server's own. */
export const SECRET = OUTSIDE.secret;
export const PASSWORD = 'correct horse battery';

/** The whole application on a database of the test file's own, without a socket. */
export interface TestApp extends TestDatabase {
  readonly app: ReturnType<typeof createApp>;
  /** One automation token a role. */
  readonly tokens: Readonly<Record<Role, string>>;
  /** Wall clock that the application sees; null is the real one. */
  nowMs: number | null;
  /** Work that the application has left for the background, in order; none of it is done here. */
  readonly enqueued: { readonly name: string; readonly data: object }[];
  /** Sends JSON as a token of `role`, or as nobody. */
  send(role: Role | null, method: string, path: string, body?: unknown): Promise<Response>;
}

/** Call at the top of a *.db.test.ts file; the fields are there once `beforeAll` has run. */
export function withApp(overrides: Partial<AppDeps> = {}): TestApp {
  const database = withDatabase();
  const handle = { nowMs: null, enqueued: [], send } as unknown as {
    -readonly [K in keyof TestApp]: TestApp[K];
  };

  beforeAll(async () => {
    Object.assign(handle, database);
    const { db, pool } = database;
    const auth = createAuth({ db, origin: ORIGIN, secret: OUTSIDE.secret });
    const now = () => handle.nowMs ?? Date.now();
    const plain = { ...OUTSIDE, trustProxy: true, webFolder: null, roles: ['ingest', 'web'] } as const;
    const log = pino({ level: 'silent' });
    const enqueue: Enqueue = async (name, data) => void handle.enqueued.push({ name, data });
    handle.app = createApp({ db, pool, auth, now, log, enqueue, ...plain, ...overrides });
    const issued = await Promise.all(ROLES.map((role) => issueRoleToken(database, role)));
    handle.tokens = Object.fromEntries(issued) as Record<Role, string>;
  });

  async function send(role: Role | null, method: string, path: string, body?: unknown): Promise<Response> {
    const headers: Record<string, string> =
      role === null ? {} : { authorization: `Bearer ${handle.tokens[role]}` };
    const init: RequestInit = { method, headers };
    if (body !== undefined) {
      headers['content-type'] = 'application/json';
      init.body = JSON.stringify(body);
    }
    return handle.app.request(ORIGIN + path, init);
  }

  return handle;
}

/** Hashing is slow on purpose; a test file needs it once. */
let passwordHash: Promise<string> | undefined;

/** An account with the password {@link PASSWORD}. */
export async function addTestPerson({ db }: TestDatabase, email: string, role: Role): Promise<string> {
  passwordHash ??= hashPassword(PASSWORD);
  const name = email.split('@')[0]!;
  return addPerson(withAccounts(db), { name, email, role, passwordHash: await passwordHash });
}

/** Signs in as a browser of our own origin would; `from` is the client's address. */
export function signIn(
  { app }: TestApp,
  email: string,
  password = PASSWORD,
  from = '192.0.2.1',
): Promise<Response> {
  return Promise.resolve(
    app.request(`${ORIGIN}/api/auth/sign-in/email`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', origin: ORIGIN, 'x-forwarded-for': from },
      body: JSON.stringify({ email, password }),
    }),
  );
}

/** The cookie that an answer sets, ready to send back. */
export function cookieOf(response: Response): string {
  return response.headers
    .getSetCookie()
    .map((cookie) => cookie.split(';')[0])
    .join('; ');
}

async function issueRoleToken({ db }: TestDatabase, role: Role): Promise<[Role, string]> {
  const { token } = await issueToken(db, {
    label: `${role} token`,
    role,
    expiresAt: null,
    createdBy: 'test',
  });
  return [role, token];
}
