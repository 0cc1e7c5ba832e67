import { ProbeError } from '../probeError.ts';

/** An answer that is no reading, in words, with what to do about it. The body is not looked at. */
export function explainStatus({ host, pathname }: URL, { status }: Response): ProbeError {
  return new ProbeError(
    'instrument',
    `${host} answers ${status}${meaningOf(status)}`,
    actionFor(status, pathname),
    {
      status,
    },
  );
}

function meaningOf(status: number): string {
  if (status === 401 || status === 403) return ', so it does not let this reader in';
  if (status === 404) return ', so there is nothing at this address';
  if (status === 429) return ', so it is asked too often';
  if (status >= 500) return ', so it has a fault of its own';
  return '';
}

function actionFor(status: number, pathname: string): string {
  if (status === 401 || status === 403)
    return 'check the header that lets in, such as Authorization, and its secret';
  if (status === 404) return `check the path ${pathname}`;
  if (status === 429) return 'read it less often';
  if (status >= 500) return 'look at the instrument; if it goes on, start it again';
  return 'open the address in a browser on the same network: it must answer a GET with 200 and JSON';
}

const CAUSES: Readonly<Record<string, readonly [what: string, action: string]>> = {
  ENOTFOUND: ['no machine of that name is known here', 'check the name, or give the instrument’s number'],
  EAI_AGAIN: ['its name can’t be looked up now', 'check the name service of this network'],
  ECONNREFUSED: [
    'nothing listens at that port',
    'check the port, and that the instrument’s web service is switched on',
  ],
  ECONNRESET: ['it broke the connection off', 'check http or https, and that the instrument is healthy'],
  EHOSTUNREACH: ['there is no way to it', 'check power, cable and network of the instrument'],
  ENETUNREACH: ['there is no way to its network', 'check the network of this machine'],
  UND_ERR_SOCKET: ['it broke the connection off', 'check http or https, and that the instrument is healthy'],
  UND_ERR_CONNECT_TIMEOUT: ['it does not answer', 'check power, cable and network of the instrument'],
};

/** Why there was no answer at all. `waitedMs` when the time ran out, else null. */
export function explainUnreachable({ host }: URL, cause: unknown, waitedMs: number | null): ProbeError {
  if (waitedMs !== null) {
    return new ProbeError(
      'instrument',
      `${host} did not finish its answer within ${waitedMs / 1000} s`,
      'check power, cable and network of the instrument, or give it a longer time-out',
      { cause },
    );
  }
  const code = codeOf(cause);
  if (/CERT|SELF_SIGNED|ALTNAME|UNABLE_TO_VERIFY/.test(code)) {
    return new ProbeError(
      'instrument',
      `${host} shows a certificate that is not trusted here (${code})`,
      'have its certificate made anew, or add the one that signed it to NODE_EXTRA_CA_CERTS',
      { cause },
    );
  }
  const [what, action] = CAUSES[code] ?? [
    `it can’t be reached${code === '' ? '' : ` (${code})`}`,
    'check the address, and power, cable and network of the instrument',
  ];
  return new ProbeError('instrument', `${host}: ${what}`, action, { cause });
}

/** The system's code for a failed fetch, which hides it in the cause; "" when there is none. */
function codeOf(error: unknown): string {
  for (let at = error; at instanceof Error; at = at.cause) {
    const { code } = at as NodeJS.ErrnoException;
    if (typeof code === 'string') return code;
    if (at instanceof AggregateError && at.errors.length > 0) return codeOf(at.errors[0]);
  }
  return '';
}
