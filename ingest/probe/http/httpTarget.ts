/** Where an instrument answers, and what it asks for before it does. */
export interface HttpTarget {
  /** An http or https address. */
  readonly url: URL;
  /** Sent with each request, secrets among them; they go to this host only. */
  readonly headers: Readonly<Record<string, string>>;
}

/** What is done about an instrument that is slow, or that sends without end. */
export interface HttpPatience {
  readonly timeoutMs: number;
  readonly mostBytes: number;
}

export const HTTP_PATIENCE: HttpPatience = { timeoutMs: 30_000, mostBytes: 8 * 1024 * 1024 };

const HEADER_NAME = /^[!#$%&'*+.^_`|~0-9A-Za-z-]+$/;
const OURS = new Set(['host', 'content-length', 'transfer-encoding', 'connection']);

/** Why a header can't be sent, in words; null when it can. Source: RFC 9110, sections 5.1 and 5.6.2. */
export function headerNameFault(name: string): string | null {
  if (!HEADER_NAME.test(name)) return `“${name}” is no name of a header: give one such as "Authorization"`;
  return OURS.has(name.toLowerCase()) ? `“${name}” is set by the program itself: leave it out` : null;
}

/** Why an address can't be read, in words; null when it can. */
export function httpAddressFault(address: string): string | null {
  const url = URL.parse(address);
  if (url === null || !['http:', 'https:'].includes(url.protocol)) {
    return 'is no http or https address: give one such as "http://192.0.2.20/sweep.json"';
  }
  if (url.username !== '' || url.password !== '') {
    return 'holds a name or password: give them as a header, such as Authorization';
  }
  return null;
}
