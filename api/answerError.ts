import type { ErrorHandler } from 'hono';
import { HTTPException } from 'hono/http-exception';
import type { Logger } from 'pino';
import { isDatabaseAway } from '../ingest/store/databaseAway.ts';
import { ApiError, type ErrorStatus, InvalidInput } from './errors.ts';

const RETRY_AFTER_S = '5';
/** PostgreSQL's class of values that a type can't hold, such as a NUL in a text or a number out of range. */
const DATA_EXCEPTION = /^22/;

/** Turns every error into `{error: {code, message, action, fields?}}`; what nobody foresaw is logged and told plainly. */
export function answerError(log: Logger): ErrorHandler {
  return (error, c) => {
    const known = knownError(error);
    if (known === null) {
      log.error({ err: error, method: c.req.method, path: c.req.path }, 'a request failed');
      return c.json(
        {
          error: {
            code: 'server-fault',
            message: 'the server failed at this',
            action: 'try again; if it stays, tell your administrator',
          },
        },
        500,
      );
    }
    if (known.status === 503) {
      log.warn({ err: error, path: c.req.path }, 'the database is away');
      c.header('Retry-After', RETRY_AFTER_S);
    }
    const { code, message, action } = known;
    const fields = known instanceof InvalidInput ? { fields: known.fields } : {};
    return c.json({ error: { code, message, action, ...fields } }, known.status);
  };
}

function knownError(error: Error): ApiError | null {
  if (error instanceof ApiError) return error;
  if (isDatabaseAway(error)) {
    return new ApiError(503, 'database-away', 'the database is away', 'try again in a few seconds');
  }
  if (DATA_EXCEPTION.test(sqlStateOf(error))) {
    const fix = 'leave out control characters, and keep numbers and dates in an ordinary range';
    return new ApiError(422, 'cannot-be-stored', `a value cannot be stored: ${error.message}`, fix);
  }
  if (error instanceof HTTPException && error.status < 500) {
    return new ApiError(
      error.status as ErrorStatus,
      'bad-request',
      error.message,
      'send the request as /openapi.json describes it',
    );
  }
  return null;
}

function sqlStateOf(error: Error): string {
  return 'code' in error ? String(error.code) : '';
}
