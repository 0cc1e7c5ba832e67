/** A request that the server refused, or that never reached it. `action` says what to do about it. */
export class RequestFailure extends Error {
  override readonly name = 'RequestFailure';
  readonly status: number;
  readonly code: string;
  readonly action: string;
  /** Field by field, where the server named fields; keyed by path such as "points.0.name". */
  readonly fields: Readonly<Record<string, string>>;

  constructor(status: number, code: string, message: string, action: string, fields = {}) {
    super(message);
    this.status = status;
    this.code = code;
    this.action = action;
    this.fields = fields;
  }
}

type Method = 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE';

/** JSON in, JSON out. Throws `RequestFailure` for every answer but 2xx. */
async function send<T>(method: Method, path: string, body?: unknown, signal?: AbortSignal): Promise<T> {
  const init: RequestInit = { method, headers: { accept: 'application/json' }, credentials: 'same-origin' };
  if (signal) init.signal = signal;
  if (body !== undefined) {
    init.headers = { ...init.headers, 'content-type': 'application/json' };
    init.body = JSON.stringify(body);
  }
  const response = await fetch(path, init).catch((error: unknown) => {
    if (signal?.aborted) throw error;
    throw new RequestFailure(
      0,
      'unreachable',
      'the server did not answer',
      'check the connection, then try again',
    );
  });
  if (response.status === 204) return undefined as T;
  const text = await response.text();
  if (!response.ok) throw failureFrom(response.status, text);
  return JSON.parse(text) as T;
}

/** The server's own words where it gave some. */
export function failureFrom(status: number, text: string): RequestFailure {
  const body = parse(text);
  const error = (isRecord(body?.['error']) ? body['error'] : body) ?? {};
  return new RequestFailure(
    status,
    asText(error['code']) ?? `http-${status}`,
    asText(error['message']) ?? `the server answered ${status}`,
    asText(error['action']) ?? 'try again; if it stays, tell your administrator',
    fieldsFrom(error['fields']),
  );
}

function fieldsFrom(value: unknown): Record<string, string> {
  if (!isRecord(value)) return {};
  return Object.fromEntries(Object.entries(value).map(([field, reason]) => [field, String(reason)]));
}

function parse(text: string): Record<string, unknown> | null {
  try {
    const body: unknown = JSON.parse(text);
    return isRecord(body) ? body : null;
  } catch {
    return null;
  }
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function asText(value: unknown): string | null {
  return typeof value === 'string' && value !== '' ? value : null;
}

export const get = <T>(path: string, signal?: AbortSignal) => send<T>('GET', path, undefined, signal);
export const post = <T>(path: string, body: unknown) => send<T>('POST', path, body);
export const put = <T>(path: string, body: unknown) => send<T>('PUT', path, body);
export const patch = <T>(path: string, body: unknown) => send<T>('PATCH', path, body);
export const del = <T>(path: string) => send<T>('DELETE', path);

/** `path?name=value…`, leaving out what is null or empty. */
export function withQuery(path: string, query: Record<string, string | number | null | undefined>): string {
  const search = new URLSearchParams();
  for (const [name, value] of Object.entries(query)) {
    if (value !== null && value !== undefined && value !== '') search.set(name, String(value));
  }
  return search.size > 0 ? `${path}?${search}` : path;
}
