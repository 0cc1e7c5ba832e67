import { lookup } from 'node:dns/promises';
import http from 'node:http';
import https from 'node:https';
import { isIP } from 'node:net';
import { Webhook } from 'standardwebhooks';
import { type Outcome, outcome } from '../outcome.ts';
import { hostOf, urlFault } from './checkUrl.ts';
import { isPublicAddress } from './publicAddress.ts';

export interface WebhookCall {
  readonly url: string;
  /** "whsec_…" */
  readonly secret: string;
  /** The same for every attempt, so that the receiver can drop a repeat. */
  readonly messageKey: string;
  readonly payload: string;
  readonly nowMs: number;
}

export interface WebhookOptions {
  readonly allowPrivate: boolean;
  readonly timeoutMs?: number;
  /** All addresses of a host name. */
  readonly resolve?: (host: string) => Promise<readonly string[]>;
}

const TIMEOUT_MS = 15_000;
const GONE = 410;

/**
 * Posts a signed payload (Standard Webhooks). The name is resolved once and every address of it checked; the connection then goes to
 * a checked address, so that a name that changes its mind meanwhile changes nothing. Redirects are not followed. 2xx is acceptance,
 * 410 final; all else may be better next time.
 */
export async function postWebhook(call: WebhookCall, options: WebhookOptions): Promise<Outcome> {
  const { allowPrivate, timeoutMs = TIMEOUT_MS, resolve = resolveAll } = options;
  const fault = urlFault(call.url, allowPrivate);
  if (fault !== null) return outcome('refused', `the address ${fault}`);
  const url = new URL(call.url);
  try {
    const signal = AbortSignal.timeout(timeoutMs);
    const address = await Promise.race([checkedAddress(hostOf(url), allowPrivate, resolve), ending(signal)]);
    if (address === null) return outcome('refused', `${url.hostname} leads to a private or reserved address`);
    return answered(await post(url, address, call, signal));
  } catch (error) {
    const late =
      (error as Error).name === 'TimeoutError' || (error as { code?: string }).code === 'ABORT_ERR';
    return outcome('try-again', late ? `no answer within ${timeoutMs / 1000} s` : (error as Error).message);
  }
}

function answered(status: number): Outcome {
  if (status >= 200 && status < 300) return outcome('accepted', `answered ${status}`);
  if (status === GONE) return outcome('refused', 'answered 410: it wants no more');
  if (status >= 300 && status < 400)
    return outcome('try-again', `answered ${status}: redirects are not followed`);
  return outcome('try-again', `answered ${status}`);
}

/** The first address of `host`; null when any of them isn't public. */
async function checkedAddress(
  host: string,
  allowPrivate: boolean,
  resolve: (host: string) => Promise<readonly string[]>,
): Promise<string | null> {
  const addresses = isIP(host) === 0 ? await resolve(host) : [host];
  if (addresses.length === 0) throw new Error(`${host} has no address`);
  return allowPrivate || addresses.every(isPublicAddress) ? addresses[0]! : null;
}

/** Rejects when the time is over: a name server may take longer than all the rest. */
function ending(signal: AbortSignal): Promise<never> {
  return new Promise((_, reject) => signal.addEventListener('abort', () => reject(signal.reason)));
}

async function resolveAll(host: string): Promise<readonly string[]> {
  return (await lookup(host, { all: true })).map(({ address }) => address);
}

/** The status of the answer; its body is thrown away unread. */
function post(url: URL, address: string, call: WebhookCall, signal: AbortSignal): Promise<number> {
  const body = Buffer.from(call.payload);
  const sentAt = new Date(call.nowMs);
  const signature = new Webhook(call.secret).sign(call.messageKey, sentAt, call.payload);
  return new Promise((resolve, reject) => {
    const { request } = url.protocol === 'https:' ? https : http;
    const sending = request(url, {
      method: 'POST',
      agent: false,
      signal,
      headers: {
        'content-type': 'application/json',
        'content-length': body.length,
        'user-agent': 'Levelkeep',
        'webhook-id': call.messageKey,
        'webhook-timestamp': Math.floor(sentAt.getTime() / 1000),
        'webhook-signature': signature,
      },
      // Asked by the socket for the address of the name: the one that was checked, and no other.
      lookup: (_host, { all }, give) => {
        const family = isIP(address);
        if (all) give(null, [{ address, family }]);
        else give(null, address, family);
      },
    });
    sending.on('response', (response) => {
      response.destroy();
      resolve(response.statusCode ?? 0);
    });
    sending.on('error', reject);
    sending.end(body);
  });
}
