import net, { type AddressInfo } from 'node:net';
import { afterEach, describe, expect, test } from 'vitest';
import { type Mail, sendMail } from '../../../api/notify/mail/sendMail.ts';
import { headerOf, openMailbox, partOf } from '../../support/mailbox.ts';

const MAIL: Mail = {
  to: { name: 'Rosa Field', address: 'rosa@quillhaven.example' },
  subject: 'Critical: level falls – Harbour House',
  text: 'Since Thu 5 Mar 2026, 12:00 CST\n',
  html: '<p>Since Thu 5 Mar 2026</p>',
  messageKey: '0199-key',
};
const from = 'levelkeep@levelkeep.example';
const send = (smtpUrl: string, changes: Partial<Mail> = {}) =>
  sendMail({ smtpUrl, from }, { ...MAIL, ...changes }, { stepMs: 700, wholeMs: 3000 });

const sockets: net.Server[] = [];
afterEach(() => {
  for (const server of sockets.splice(0)) server.close();
});

/** Something on a port that is no SMTP server. */
async function listener(onConnection: (socket: net.Socket) => void): Promise<string> {
  const server = net.createServer(onConnection);
  sockets.push(server);
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  return `smtp://127.0.0.1:${(server.address() as AddressInfo).port}`;
}

const refuse = (code: number) => Object.assign(new Error('not here'), { responseCode: code });

describe('a message by SMTP', () => {
  test('arrives in plain text and HTML, from us, to its reader, with the key that it keeps', async () => {
    const mailbox = await openMailbox({ hideSTARTTLS: true });
    expect(await send(mailbox.url)).toMatchObject({ outcome: 'accepted' });
    const [mail] = mailbox.mails;
    expect(mail!.to).toEqual(['rosa@quillhaven.example']);
    expect(headerOf(mail!, 'Subject')).toBe(MAIL.subject);
    expect(headerOf(mail!, 'From')).toBe('Levelkeep <levelkeep@levelkeep.example>');
    expect(headerOf(mail!, 'Message-ID')).toBe('<0199-key@levelkeep.example>');
    expect(headerOf(mail!, 'Auto-Submitted')).toBe('auto-generated');
    expect(partOf(mail!, 'text/plain')).toContain('12:00 CST');
    expect(partOf(mail!, 'text/html')).toContain('<p>');
  });

  test('signs in after STARTTLS', async () => {
    const mailbox = await openMailbox({
      credentials: 'desk:p%40ss@',
      query: '/?tls.rejectUnauthorized=false',
      authOptional: false,
      onAuth: ({ username, password }, _, done) =>
        password === 'p@ss' ? done(null, { user: username! }) : done(new Error('wrong')),
    });
    expect(await send(mailbox.url)).toMatchObject({ outcome: 'accepted' });
    expect(mailbox.mails).toMatchObject([{ user: 'desk', secure: true }]);
  });

  test('never gives name and password to a server without TLS', async () => {
    let asked = false;
    const mailbox = await openMailbox({
      credentials: 'desk:secret@',
      hideSTARTTLS: true,
      allowInsecureAuth: true,
      onAuth: (_, __, done) => {
        asked = true;
        done(null, { user: 'desk' });
      },
    });
    expect(await send(mailbox.url)).toMatchObject({ outcome: 'try-again' });
    expect(asked).toBe(false);
    expect(mailbox.mails).toEqual([]);
  });

  test('does not trust a certificate that nobody vouches for', async () => {
    const mailbox = await openMailbox({});
    expect(await send(mailbox.url)).toMatchObject({ outcome: 'try-again' });
    expect(mailbox.mails).toEqual([]);
  });

  test('is tried again after a refused sign-in: somebody can put the password right', async () => {
    const mailbox = await openMailbox({
      credentials: 'desk:old@',
      query: '/?tls.rejectUnauthorized=false',
      onAuth: (_, __, done) => done(Object.assign(new Error('bad password'), { responseCode: 535 })),
    });
    expect(await send(mailbox.url)).toMatchObject({
      outcome: 'try-again',
      detail: expect.stringContaining('535'),
    });
  });

  test.each([
    [550, 'refused'],
    [451, 'try-again'],
  ])('answered %i at the recipient is %s', async (code, outcome) => {
    const mailbox = await openMailbox({ hideSTARTTLS: true, onRcptTo: (_, __, done) => done(refuse(code)) });
    expect(await send(mailbox.url)).toMatchObject({ outcome, detail: expect.stringContaining(String(code)) });
  });

  test.each([
    [554, 'refused'],
    [452, 'try-again'],
  ])('answered %i after the message is %s', async (code, outcome) => {
    const mailbox = await openMailbox({
      hideSTARTTLS: true,
      onData: (stream, _, done) => {
        stream.resume();
        stream.on('end', () => done(refuse(code)));
      },
    });
    expect(await send(mailbox.url)).toMatchObject({ outcome });
  });

  test('to a server that says nothing is given up and tried again', async () => {
    const url = await listener(() => {});
    expect(await send(url)).toMatchObject({ outcome: 'try-again' });
  });

  test('whose connection breaks half-way is tried again', async () => {
    const url = await listener((socket) => {
      socket.on('error', () => {});
      socket.write('220 here\r\n');
      socket.on('data', (line) => {
        const said = line.toString();
        if (said.startsWith('DATA')) socket.destroy();
        else socket.write('250 ok\r\n');
      });
    });
    expect(await send(url)).toMatchObject({ outcome: 'try-again' });
  });

  test('to a port where nobody listens is tried again', async () => {
    expect(await send('smtp://127.0.0.1:1')).toMatchObject({ outcome: 'try-again' });
  });

  test('cannot be given headers of its own by a title or a name', async () => {
    const mailbox = await openMailbox({ hideSTARTTLS: true });
    const evil = 'x\r\nBcc: spy@elsewhere.example\r\n\r\nbody';
    await send(mailbox.url, { subject: evil, to: { name: evil, address: 'rosa@quillhaven.example' } });
    expect(mailbox.mails).toHaveLength(1);
    expect(mailbox.mails[0]!.to).toEqual(['rosa@quillhaven.example']);
    expect(headerOf(mailbox.mails[0]!, 'Bcc')).toBeNull();
    expect(headerOf(mailbox.mails[0]!, 'Subject')).toContain('Bcc: spy');
  });
});
