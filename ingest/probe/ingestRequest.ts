import { ProbeError } from './probeError.ts';

const ANSWER_TIMEOUT_MS = 30_000;

export interface IngestServer {
  /** Address of the server, such as https://levelkeep.example.com/ */
  readonly url: URL;
  readonly key: string;
  /** How the person gave the address; `--url` when it isn't said. */
  readonly urlGivenBy?: string;
  /** Told of the head of every answer, good or bad. */
  readonly onAnswer?: (response: Response) => void;
}

/** What a request is about: its address under the server's, and what of it goes into messages. */
export type IngestPath = 'ingest/sweeps' | 'ingest/heartbeat';

/**
 * Sends JSON under the site key once and returns the text of a good answer. Throws a ProbeError: `unavailable` when trying again later
 * may help, `refused` when it can't.
 */
export async function ingestRequest(
  server: IngestServer,
  path: IngestPath,
  content: object,
  signal: AbortSignal,
): Promise<{ readonly response: Response; readonly body: string }> {
  const response = await post(server, path, content, signal);
  server.onAnswer?.(response);
  const body = await response.text().catch((cause: unknown) => {
    signal.throwIfAborted();
    throw unreachable(server, cause);
  });
  if (!response.ok) throw explainStatus(server, path, response, body);
  return { response, body };
}

async function post(
  server: IngestServer,
  path: IngestPath,
  content: object,
  signal: AbortSignal,
): Promise<Response> {
  try {
    return await fetch(ingestAddress(server.url, path), {
      method: 'POST',
      headers: { authorization: `Bearer ${server.key}`, 'content-type': 'application/json' },
      body: JSON.stringify(content),
      redirect: 'manual',
      signal: AbortSignal.any([signal, AbortSignal.timeout(ANSWER_TIMEOUT_MS)]),
    });
  } catch (cause) {
    signal.throwIfAborted();
    throw unreachable(server, cause);
  }
}

function ingestAddress(url: URL, path: IngestPath): URL {
  const folder = url.pathname.endsWith('/') ? url.pathname : `${url.pathname}/`;
  return new URL(`${folder}${path}`, url);
}

function unreachable(server: IngestServer, error: unknown): ProbeError {
  const isTimeout = error instanceof Error && error.name === 'TimeoutError';
  const reason = isTimeout ? `no answer within ${ANSWER_TIMEOUT_MS / 1000} s` : causeOf(error);
  return new ProbeError(
    'unavailable',
    `the server at ${server.url.origin} cannot be reached: ${reason}`,
    `check ${server.urlGivenBy ?? '--url'}, that the server is running, and the way to it from this machine`,
    { cause: error },
  );
}

/** fetch says "fetch failed"; the reason is one level down. */
function causeOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  const { cause } = error;
  if (cause instanceof AggregateError && cause.errors[0] instanceof Error) return cause.errors[0].message;
  return cause instanceof Error ? cause.message : error.message;
}

function explainStatus(server: IngestServer, path: IngestPath, response: Response, body: string): ProbeError {
  const said = messageIn(body);
  const saying = said === null ? '' : ` (${said})`;
  const retryAfterMs = retryAfter(response);
  const { status } = response;
  switch (status) {
    case 401:
      return new ProbeError(
        'refused',
        `the server does not know this site key${saying}`,
        'check that the whole key was copied; when it is lost, issue a new one on the site’s page',
        { status },
      );
    case 403:
      return new ProbeError(
        'refused',
        `the server knows this site key and refuses it${saying}`,
        'the key was revoked or is not meant for this: issue a new one on the site’s page',
        { status },
      );
    case 413:
      return new ProbeError(
        'refused',
        `the server finds the request too large${saying}`,
        'a modem’s sweep is small, so look at what stands between: a proxy may have a lower limit',
        { status },
      );
    case 429:
      return new ProbeError(
        'unavailable',
        `the server is asked too often with this key${saying}`,
        `${pauseWords(retryAfterMs)}, then try again; read less often with --every`,
        { retryAfterMs, status },
      );
    case 404:
      return notOurServer(server, response, `it has no /${path}`);
    default:
      if (status >= 500) {
        return new ProbeError(
          'unavailable',
          `the server cannot store sweeps just now: status ${status}${saying}`,
          `${pauseWords(retryAfterMs)}, then try again; if it stays, look at the server’s log and its database`,
          { retryAfterMs, status },
        );
      }
      if (status >= 300 && status < 400) {
        const location = response.headers.get('location') ?? 'an address it does not name';
        return notOurServer(server, response, `it sends on to ${location}`);
      }
      return new ProbeError(
        'refused',
        `the server refused the request: status ${status}${saying}`,
        'check that server and probe are of the same version',
        { status },
      );
  }
}

export function notOurServer(server: IngestServer, { status }: Response, why: string): ProbeError {
  return new ProbeError(
    'refused',
    `${server.url.href} does not answer like the server of this program: ${why}`,
    `give ${server.urlGivenBy ?? '--url'} the address at which people open the program, without a path unless there is one`,
    { status },
  );
}

function pauseWords(retryAfterMs: number | null): string {
  return retryAfterMs === null ? 'wait a little' : `wait ${Math.ceil(retryAfterMs / 1000)} s`;
}

function retryAfter(response: Response): number | null {
  const header = response.headers.get('retry-after');
  if (header === null) return null;
  const seconds = Number(header);
  if (Number.isFinite(seconds)) return seconds >= 0 ? seconds * 1000 : null;
  // The other form is a date, meant by the server's own clock.
  const pauseMs = Date.parse(header) - Date.parse(response.headers.get('date') ?? '');
  return pauseMs >= 0 ? pauseMs : null;
}

/** The text of an error answer, wherever in the JSON it stands. */
function messageIn(body: string): string | null {
  const value = parsed(body);
  if (typeof value !== 'object' || value === null) return null;
  const inner = 'error' in value ? value.error : value;
  if (typeof inner === 'string') return inner;
  if (typeof inner !== 'object' || inner === null) return null;
  const message = 'message' in inner ? inner.message : 'reason' in inner ? inner.reason : null;
  return typeof message === 'string' ? message : null;
}

export function parsed(body: string): unknown {
  try {
    return JSON.parse(body);
  } catch {
    return null;
  }
}

export function excerpt(body: string): string {
  const text = body.replaceAll(/\s+/g, ' ').trim();
  return text === '' ? 'empty' : `“${text.slice(0, 80)}”`;
}
