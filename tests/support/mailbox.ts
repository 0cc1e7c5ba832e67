import { once } from 'node:events';
import type { AddressInfo } from 'node:net';
import { SMTPServer, type SMTPServerOptions } from 'smtp-server';
import { afterEach } from 'vitest';

/** One message as an SMTP server took it. */
export interface ReceivedMail {
  readonly to: readonly string[];
  readonly raw: string;
  /** Who signed in; null when nobody did. */
  readonly user: string | null;
  readonly secure: boolean;
}

export interface Mailbox {
  readonly url: string;
  readonly mails: ReceivedMail[];
}

const servers: SMTPServer[] = [];

afterEach(async () => {
  for (const server of servers.splice(0)) await new Promise<void>((done) => server.close(done));
});

/** A real SMTP server on loopback, which takes everything unless told otherwise; closed when the test is over. */
export async function openMailbox(
  options: SMTPServerOptions & { readonly credentials?: string; readonly query?: string } = {},
): Promise<Mailbox> {
  const { credentials = '', query = '', ...rest } = options;
  const mails: ReceivedMail[] = [];
  const server = new SMTPServer({
    authOptional: true,
    logger: false,
    closeTimeout: 200,
    onData(stream, session, done) {
      const chunks: Buffer[] = [];
      stream.on('data', (chunk: Buffer) => chunks.push(chunk));
      stream.on('end', () => {
        const to = session.envelope.rcptTo.map(({ address }) => address);
        const raw = Buffer.concat(chunks).toString('utf8');
        mails.push({ to, raw, user: (session.user as string | undefined) ?? null, secure: session.secure });
        done();
      });
    },
    ...rest,
  });
  server.on('error', () => {});
  servers.push(server);
  const listener = server.listen(0, '127.0.0.1');
  await once(listener, 'listening');
  const { port } = listener.address() as AddressInfo;
  return { url: `smtp://${credentials}127.0.0.1:${port}${query}`, mails };
}

/** A header's value, unfolded and decoded. */
export function headerOf({ raw }: ReceivedMail, name: string): string | null {
  const head = raw.slice(0, raw.indexOf('\r\n\r\n')).replaceAll(/\r\n[ \t]+/g, ' ');
  const line = head
    .split('\r\n')
    .find((candidate) => candidate.toLowerCase().startsWith(`${name.toLowerCase()}:`));
  return line === undefined ? null : decodeWords(line.slice(name.length + 1).trim());
}

/** The decoded part of a type, such as "text/plain". */
export function partOf(mail: ReceivedMail, type: string): string {
  return decodedPart(mail, type).replaceAll('\r\n', '\n');
}

function decodedPart({ raw }: ReceivedMail, type: string): string {
  const start = raw.indexOf(`Content-Type: ${type}`);
  const headEnd = raw.indexOf('\r\n\r\n', start);
  const end = raw.indexOf('\r\n----', headEnd);
  const body = raw.slice(headEnd + 4, end === -1 ? undefined : end);
  const encoding = /Content-Transfer-Encoding: (\S+)/i.exec(raw.slice(start, headEnd))?.[1];
  if (encoding === 'base64') return Buffer.from(body, 'base64').toString('utf8');
  return encoding === 'quoted-printable' ? fromQuotedPrintable(body.replaceAll('=\r\n', '')) : body;
}

function decodeWords(text: string): string {
  return text
    .replaceAll(/\?=\s+=\?/g, '?==?')
    .replaceAll(/=\?utf-8\?([qb])\?([^?]*)\?=/gi, (_, how: string, body: string) =>
      how.toLowerCase() === 'b'
        ? Buffer.from(body, 'base64').toString('utf8')
        : fromQuotedPrintable(body.replaceAll('_', ' ')),
    );
}

function fromQuotedPrintable(text: string): string {
  const bytes = text.replaceAll(/=([0-9A-F]{2})/gi, (_, hex: string) =>
    String.fromCharCode(Number.parseInt(hex, 16)),
  );
  return Buffer.from(bytes, 'latin1').toString('utf8');
}
