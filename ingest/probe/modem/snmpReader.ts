import { lookup } from 'node:dns/promises';
import snmp, { type Session, type SessionOptions, type User, type Varbind } from 'net-snmp';
import { bytesOf, integerOf, textOf } from './decode.ts';
import { explainSnmpError, explainUnknownHost } from './explainSnmpError.ts';
import { REQUEST, type SnmpAccess, type SnmpTarget } from './snmpTarget.ts';

/** A modem that answers, but slowly or without end, is given up after this. */
const READ_TIMEOUT_MS = 60_000;
const ROWS_PER_REQUEST = 16;

/** Reads, and only reads, from one agent. */
export interface SnmpReader {
  /** The integers of one table column by row index; empty when the agent has no such column. */
  column(oid: string): Promise<ReadonlyMap<string, number>>;
  /** The bytes of one table column by row index; a row at a time, since one may be as large as a packet. */
  bytesColumn(oid: string): Promise<ReadonlyMap<string, Uint8Array>>;
  /** One integer, null when the agent has none. */
  integer(oid: string): Promise<number | null>;
  /** One text value, null when the agent has none. */
  text(oid: string): Promise<string | null>;
}

/**
 * Lends a reader of the agent at `target` and closes it afterwards, whatever happens. Throws a
 * ProbeError of kind `instrument` in a person's words, or the signal's reason when it is aborted.
 */
export async function withSnmpReader<T>(
  target: SnmpTarget,
  signal: AbortSignal,
  use: (reader: SnmpReader) => Promise<T>,
): Promise<T> {
  const { address, family } = await lookup(target.host).catch((error: unknown) => {
    throw explainUnknownHost(target.host, error);
  });
  signal.throwIfAborted();

  const session = openSession(target, address, family === 6 ? 'udp6' : 'udp4');
  const seen = { garbled: false };
  session.on('error', () => {
    seen.garbled = true;
  });

  const deadline = AbortSignal.timeout(READ_TIMEOUT_MS);
  const ended = AbortSignal.any([signal, deadline]);
  // Closing the socket fails the request under way, which brings `use` to its end.
  const close = () => session.close();
  ended.addEventListener('abort', close);
  try {
    return await use({
      column: (oid) => readColumn(session, oid, ROWS_PER_REQUEST, integerOf),
      bytesColumn: (oid) => readColumn(session, oid, 1, bytesOf),
      integer: async (oid) => integerOf(await readOne(session, oid)),
      text: async (oid) => textOf(await readOne(session, oid)),
    });
  } catch (error) {
    signal.throwIfAborted();
    throw explainSnmpError(error, target, { garbled: seen.garbled, outOfTime: deadline.aborted });
  } finally {
    ended.removeEventListener('abort', close);
    if (!ended.aborted) session.close();
  }
}

function openSession({ port, access }: SnmpTarget, address: string, transport: 'udp4' | 'udp6'): Session {
  const options = {
    port,
    transport,
    timeout: REQUEST.timeoutMs,
    retries: REQUEST.retries,
    // An agent whose rows don't rise would be walked for ever.
    backwardsGetNexts: false,
  } satisfies Partial<SessionOptions>;
  if (access.version === '2c') {
    return snmp.createSession(address, access.community, { ...options, version: snmp.Version2c });
  }
  return snmp.createV3Session(address, userOf(access), { ...options, version: snmp.Version3 });
}

function userOf({ user, auth, priv }: Extract<SnmpAccess, { version: '3' }>): User {
  const { AuthProtocols, PrivProtocols, SecurityLevel } = snmp;
  if (auth === null) return { name: user, level: SecurityLevel.noAuthNoPriv };
  const authenticated = { name: user, authProtocol: AuthProtocols[auth.protocol], authKey: auth.password };
  if (priv === null) return { ...authenticated, level: SecurityLevel.authNoPriv };
  return {
    ...authenticated,
    level: SecurityLevel.authPriv,
    privProtocol: PrivProtocols[priv.protocol],
    privKey: priv.password,
  };
}

function readColumn<T>(
  session: Session,
  oid: string,
  rowsPerRequest: number,
  read: (varbind: Varbind) => T | null,
): Promise<ReadonlyMap<string, T>> {
  return new Promise((resolve, reject) => {
    const values = new Map<string, T>();
    session.subtree(
      oid,
      rowsPerRequest,
      (varbinds) => {
        for (const varbind of varbinds) {
          const value = read(varbind);
          if (value !== null) values.set(varbind.oid.slice(oid.length + 1), value);
        }
        return undefined;
      },
      (error) => (error ? reject(error) : resolve(values)),
    );
  });
}

function readOne(session: Session, oid: string): Promise<Varbind> {
  return new Promise((resolve, reject) => {
    session.get([oid], (error, varbinds) => {
      if (error) return reject(error);
      resolve(varbinds[0] ?? { oid, type: snmp.ObjectType.NoSuchObject, value: null });
    });
  });
}
