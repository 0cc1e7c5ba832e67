const SOCKET_CODES = new Set([
  'ECONNREFUSED',
  'ECONNRESET',
  'ENOTFOUND',
  'EPIPE',
  'ETIMEDOUT',
  'EHOSTUNREACH',
  'ENOENT',
]);
/** PostgreSQL classes: connection exception, insufficient resources, operator intervention. */
const SQLSTATE_AWAY = /^(08|53|57P)/;
/** What the driver says without a code. */
const DRIVER_WORDS =
  /connection terminated|timeout exceeded when trying to connect|client has encountered a connection error/i;

/** Whether `error`, or what caused it, is that the database can't be reached: to be tried again later. */
export function isDatabaseAway(error: unknown): boolean {
  if (!(error instanceof Error)) return false;
  const code = 'code' in error ? String(error.code) : '';
  if (SOCKET_CODES.has(code) || SQLSTATE_AWAY.test(code) || DRIVER_WORDS.test(error.message)) return true;
  const causes = error instanceof AggregateError ? error.errors : [error.cause];
  return causes.some(isDatabaseAway);
}
