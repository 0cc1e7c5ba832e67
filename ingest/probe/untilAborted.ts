/** The promise's own outcome, or the signal's reason if that comes first. */
export function untilAborted<T>(promise: Promise<T>, signal: AbortSignal): Promise<T> {
  const aborted = Promise.withResolvers<never>();
  const abort = () => aborted.reject(signal.reason);
  if (signal.aborted) abort();
  signal.addEventListener('abort', abort, { once: true });
  return Promise.race([promise, aborted.promise]).finally(() => signal.removeEventListener('abort', abort));
}
