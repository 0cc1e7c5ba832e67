import { betterAuth } from 'better-auth';
import { APIError } from 'better-auth/api';
import type { Db } from '../../ingest/store/database.ts';
import { MAX_PASSWORD_LENGTH, MIN_PASSWORD_LENGTH } from './passwordRules.ts';
import { withAccounts } from './tables.ts';

/** The header in which the server itself, never a client, tells where a request came from. */
export const CLIENT_HEADER = 'x-levelkeep-client';

export interface AuthOptions {
  readonly db: Db;
  /** Public base address, such as "https://levelkeep.example". */
  readonly origin: string;
  /** Signs cookies; at least 32 characters. */
  readonly secret: string;
  /** Sign-in attempts that one address may make in a minute. */
  readonly signInsPerMinute?: number;
}

export type Auth = ReturnType<typeof createAuth>;

/**
 * Passwords and sessions. Nobody can make their own account: the set-up link makes the first, invitations the
 * others. Column names are those of migration 0005; better-auth compares the two at its first use.
 */
export function createAuth({ db, origin, secret, signInsPerMinute = 10 }: AuthOptions) {
  return betterAuth({
    appName: 'Levelkeep',
    baseURL: origin,
    basePath: '/api/auth',
    secret,
    database: { db, type: 'postgres', transaction: true },
    trustedOrigins: (request) => (request ? [new URL(request.url).origin] : []),
    telemetry: { enabled: false },
    logger: { disabled: true },
    emailAndPassword: {
      enabled: true,
      disableSignUp: true,
      minPasswordLength: MIN_PASSWORD_LENGTH,
      maxPasswordLength: MAX_PASSWORD_LENGTH,
      revokeSessionsOnPasswordReset: true,
    },
    user: {
      modelName: 'person',
      fields: { emailVerified: 'email_verified', createdAt: 'created_at', updatedAt: 'updated_at' },
      additionalFields: {
        role: { type: 'string', required: true, input: false },
        disabled: { type: 'boolean', required: true, defaultValue: false, input: false },
      },
    },
    session: {
      modelName: 'person_session',
      fields: {
        userId: 'person_id',
        ipAddress: 'ip_address',
        userAgent: 'user_agent',
        expiresAt: 'expires_at',
        createdAt: 'created_at',
        updatedAt: 'updated_at',
      },
    },
    account: {
      modelName: 'credential',
      fields: {
        accountId: 'account_id',
        providerId: 'provider_id',
        userId: 'person_id',
        accessToken: 'access_token',
        refreshToken: 'refresh_token',
        idToken: 'id_token',
        accessTokenExpiresAt: 'access_token_expires_at',
        refreshTokenExpiresAt: 'refresh_token_expires_at',
        createdAt: 'created_at',
        updatedAt: 'updated_at',
      },
    },
    verification: {
      fields: { expiresAt: 'expires_at', createdAt: 'created_at', updatedAt: 'updated_at' },
    },
    rateLimit: {
      enabled: true,
      window: 60,
      max: 300,
      customRules: {
        '/sign-in/email': { window: 60, max: signInsPerMinute },
        '/change-password': { window: 60, max: signInsPerMinute },
      },
    },
    databaseHooks: {
      session: {
        create: {
          before: async (session) => {
            await refuseDisabled(db, session.userId);
          },
        },
      },
    },
    advanced: {
      cookiePrefix: 'levelkeep',
      useSecureCookies: origin.startsWith('https:'),
      defaultCookieAttributes: { httpOnly: true, sameSite: 'strict' },
      ipAddress: { ipAddressHeaders: [CLIENT_HEADER] },
    },
  });
}

async function refuseDisabled(db: Db, personId: string): Promise<void> {
  const person = await withAccounts(db)
    .selectFrom('person')
    .select('disabled')
    .where('id', '=', personId)
    .executeTakeFirst();
  if (person?.disabled === false) return;
  throw new APIError('FORBIDDEN', {
    code: 'ACCOUNT_DISABLED',
    message: 'this account is disabled: ask an administrator to enable it',
  });
}
