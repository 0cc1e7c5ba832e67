import { createTransport } from 'nodemailer';
import type { MailConfig } from '../../config.ts';
import { type Outcome, outcome } from '../outcome.ts';

export interface Mail {
  readonly to: { readonly name: string; readonly address: string };
  readonly subject: string;
  readonly text: string;
  readonly html: string;
  /** The same for every attempt, so that a mailbox can drop a repeat. */
  readonly messageKey: string;
}

/** Each step of the conversation; all of them together stay under a lease of a delivery. */
const STEP_TIMEOUT_MS = 15_000;
const WHOLE_TIMEOUT_MS = 60_000;

/** Errors of the conversation itself, in which the server speaks of this message or its reader. */
const ABOUT_THE_MESSAGE = ['EENVELOPE', 'EMESSAGE'];

/**
 * Hands one message to the SMTP server. A 5xx answer about the message or its reader is final; all else (4xx, a refused sign-in, no
 * answer, a lost connection) may be better next time. Name and password go out over TLS only.
 */
export async function sendMail(
  config: MailConfig,
  mail: Mail,
  timeouts = { stepMs: STEP_TIMEOUT_MS, wholeMs: WHOLE_TIMEOUT_MS },
): Promise<Outcome> {
  const { stepMs, wholeMs } = timeouts;
  const transport = createTransport({
    url: config.smtpUrl,
    requireTLS: new URL(config.smtpUrl).username !== '',
    connectionTimeout: stepMs,
    greetingTimeout: stepMs,
    socketTimeout: stepMs,
    dnsTimeout: stepMs,
    disableFileAccess: true,
    disableUrlAccess: true,
  });
  const late = setTimeout(() => transport.close(), wholeMs);
  try {
    const sent = await transport.sendMail({
      from: { name: 'Levelkeep', address: config.from },
      to: mail.to,
      subject: oneLine(mail.subject),
      text: mail.text,
      html: mail.html,
      messageId: `<${mail.messageKey}@${config.from.split('@')[1]}>`,
      // RFC 3834: a program wrote this, so out-of-office replies stay away.
      headers: { 'Auto-Submitted': 'auto-generated' },
    });
    return outcome('accepted', sent.response);
  } catch (error) {
    return failed(error as Error & { code?: string; responseCode?: number });
  } finally {
    clearTimeout(late);
    transport.close();
  }
}

function failed(error: Error & { code?: string; responseCode?: number }): Outcome {
  const final = ABOUT_THE_MESSAGE.includes(error.code ?? '') && (error.responseCode ?? 0) >= 500;
  return outcome(final ? 'refused' : 'try-again', error.message);
}

/** Line breaks and other controls have no place in a header. */
function oneLine(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what must go.
  return text.replaceAll(/[\u0000-\u001f\u007f\u2028\u2029]+/g, ' ');
}
