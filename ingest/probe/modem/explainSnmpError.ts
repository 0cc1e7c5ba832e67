import snmp from 'net-snmp';
import { ProbeError } from '../probeError.ts';
import { REQUEST, type SnmpTarget } from './snmpTarget.ts';

/** The host's name leads nowhere. */
export function explainUnknownHost(host: string, cause: unknown): ProbeError {
  return new ProbeError(
    'instrument',
    `no machine called ${host} is known here`,
    'check the spelling of the modem’s name, or give its IP address',
    { cause },
  );
}

/** Any failure of an SNMP exchange as a ProbeError that names what to check. */
export function explainSnmpError(
  error: unknown,
  target: SnmpTarget,
  { garbled, outOfTime }: { readonly garbled: boolean; readonly outOfTime: boolean },
): unknown {
  if (error instanceof ProbeError || !(error instanceof Error)) return error;
  const where = `${target.host} (UDP port ${target.port})`;
  const options = { cause: error };

  if (outOfTime) {
    return new ProbeError(
      'instrument',
      `${where} answers, but its tables could not be read to the end within a minute`,
      'check the link to the modem, and that the modem is not overloaded; then try again',
      options,
    );
  }
  if (error instanceof snmp.RequestTimedOutError) {
    return garbled
      ? new ProbeError(
          'instrument',
          `${where} answered with something that is no readable SNMP`,
          target.access.version === '3'
            ? 'check the privacy protocol and its password; check that the port is the modem’s SNMP port'
            : 'check that the port is the modem’s SNMP port',
          options,
        )
      : silence(where, target, error);
  }
  if (error instanceof snmp.ResponseInvalidError) return invalidAnswer(where, target, error);
  if (error instanceof snmp.RequestFailedError) {
    return new ProbeError(
      'instrument',
      `${where} refused the request: ${error.message}`,
      'the community or user may not read the cable interface tables: widen its read view on the modem; an SNMP v3 user may also need authentication and privacy with passwords',
      options,
    );
  }
  if ('syscall' in error) {
    return new ProbeError(
      'instrument',
      `${where} cannot be reached from this machine: ${error.message}`,
      'check the network between this machine and the modem, and the modem’s address',
      options,
    );
  }
  return error;
}

function silence(where: string, { access }: SnmpTarget, cause: Error): ProbeError {
  const seconds = (REQUEST.timeoutMs * (1 + REQUEST.retries)) / 1000;
  const secret =
    access.version === '2c'
      ? 'that the community is right (an agent says nothing at all to a wrong one)'
      : 'that authentication, privacy and their passwords match the modem’s (some agents say nothing to a wrong one)';
  return new ProbeError(
    'instrument',
    `${where} did not answer within ${seconds} s, ${1 + REQUEST.retries} tries`,
    `check that the modem is on and at this address, that SNMP is enabled on the side facing this machine, that no firewall stops UDP, and ${secret}`,
    { cause },
  );
}

function invalidAnswer(where: string, { access }: SnmpTarget, error: Error & { code: number }): ProbeError {
  const options = { cause: error };
  const user = access.version === '3' ? access.user : '';
  const { EAuthFailure, ECouldNotDecrypt } = snmp.ResponseInvalidCode;
  if (error.code === EAuthFailure && error.message.startsWith('Unknown User')) {
    return new ProbeError(
      'instrument',
      `${where} knows no SNMP user called ${user}`,
      'check the user’s name, capital letters included, against the modem’s configuration',
      options,
    );
  }
  if (error.code === EAuthFailure && error.message.startsWith('Unsupported Security Level')) {
    return new ProbeError(
      'instrument',
      `${where} does not grant user ${user} this security level`,
      'give both authentication and privacy with their passwords, or only those that the modem has for this user',
      options,
    );
  }
  if (error.code === EAuthFailure || error.code === ECouldNotDecrypt) {
    return new ProbeError(
      'instrument',
      `${where} did not accept the passwords of user ${user} (${error.message})`,
      'check that authentication and privacy name the protocols set on the modem, then both passwords',
      options,
    );
  }
  return new ProbeError(
    'instrument',
    `${where} gave an answer that does not fit the question (${error.message})`,
    'try again; if it stays, the modem’s SNMP agent is at fault, so check for newer firmware',
    options,
  );
}
