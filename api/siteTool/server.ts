import { ToolError } from './toolError.ts';

const TIMEOUT_MS = 300_000;

/** The running server, as an automation token sees it. */
export interface Server {
  get<T>(path: string): Promise<T>;
  send<T>(method: 'POST' | 'PUT' | 'PATCH', path: string, body: unknown): Promise<T>;
}

/** Throws a ToolError: `unavailable` when there is no answer, `refused` with the server's own words otherwise. */
export function connect(url: string, token: string): Server {
  const ask = async <T>(method: string, path: string, body?: unknown): Promise<T> => {
    const response = await fetch(url + path, {
      method,
      headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json' },
      ...(body !== undefined && { body: JSON.stringify(body) }),
      signal: AbortSignal.timeout(TIMEOUT_MS),
    }).catch((cause: unknown) => {
      const action = 'check --url and that the server is running';
      throw new ToolError('unavailable', `no answer from ${url}`, action, { cause });
    });
    const text = await response.text();
    if (!response.ok) throw refusal(response.status, text);
    return (text === '' ? null : JSON.parse(text)) as T;
  };
  return { get: (path) => ask('GET', path), send: (method, path, body) => ask(method, path, body) };
}

function refusal(status: number, text: string): ToolError {
  let error: { message?: string; action?: string } = {};
  try {
    error = (JSON.parse(text) as { error?: typeof error }).error ?? {};
  } catch {
    // What answers isn't a Levelkeep server, or a proxy answers for it: the status has to do.
  }
  const kind = status === 503 ? 'unavailable' : 'refused';
  return new ToolError(kind, error.message ?? `the server answered ${status}`, error.action ?? 'check --url');
}
