import { ProbeError } from '../probeError.ts';
import { explainStatus, explainUnreachable } from './explainHttpError.ts';
import type { HttpPatience, HttpTarget } from './httpTarget.ts';

/** The part of `fetch` that is needed, so that a test or a server can give its own. */
export type Fetch = (url: URL, init: RequestInit) => Promise<Response>;

const MOST_REDIRECTS = 3;
const REDIRECTS = new Set([301, 302, 303, 307, 308]);

/**
 * The text that an instrument answers a GET with. Redirects are followed on the same host only, since the headers may
 * hold a secret. Throws a ProbeError of kind `instrument`, which never quotes the answer, or the signal's reason when
 * it is aborted.
 */
export async function fetchText(
  target: HttpTarget,
  { timeoutMs, mostBytes }: HttpPatience,
  fetch: Fetch,
  signal: AbortSignal,
): Promise<string> {
  const deadline = AbortSignal.timeout(timeoutMs);
  const ended = AbortSignal.any([signal, deadline]);
  try {
    const response = await get(target, fetch, ended);
    if (!response.ok) {
      await response.body?.cancel();
      throw explainStatus(target.url, response);
    }
    return await boundedText(response, mostBytes, target.url);
  } catch (error) {
    signal.throwIfAborted();
    if (error instanceof ProbeError) throw error;
    throw explainUnreachable(target.url, error, deadline.aborted ? timeoutMs : null);
  }
}

async function get({ url, headers }: HttpTarget, fetch: Fetch, signal: AbortSignal): Promise<Response> {
  let here = url;
  for (let redirects = 0; ; redirects++) {
    const response = await fetch(here, {
      method: 'GET',
      headers: { accept: 'application/json', ...headers },
      redirect: 'manual',
      signal,
    });
    if (!REDIRECTS.has(response.status)) return response;
    await response.body?.cancel();
    const next = URL.parse(response.headers.get('location') ?? '', here);
    if (next === null || !staysThere(here, next)) {
      throw new ProbeError(
        'instrument',
        `${url.host} sends on to ${next === null ? 'nowhere' : next.host}, which is not followed`,
        'give the address that it sends on to, if that is the instrument: headers may hold a secret, so they go to one host only',
      );
    }
    if (redirects === MOST_REDIRECTS) {
      throw new ProbeError(
        'instrument',
        `${url.host} sends on more than ${MOST_REDIRECTS} times`,
        'give the address that answers in the end; a sign-in page may be in the way',
      );
    }
    here = next;
  }
}

/** The same scheme, host and port, or the same host over TLS. */
function staysThere(from: URL, to: URL): boolean {
  if (to.origin === from.origin) return true;
  return from.protocol === 'http:' && to.protocol === 'https:' && to.hostname === from.hostname;
}

async function boundedText(response: Response, mostBytes: number, url: URL): Promise<string> {
  const chunks: Uint8Array[] = [];
  let bytes = 0;
  for await (const chunk of response.body ?? []) {
    bytes += chunk.length;
    if (bytes > mostBytes) {
      throw new ProbeError(
        'instrument',
        `${url.host} answers with more than ${mostBytes / (1024 * 1024)} MiB`,
        'give an address that answers with one sweep',
      );
    }
    chunks.push(chunk);
  }
  return new TextDecoder().decode(Buffer.concat(chunks));
}
