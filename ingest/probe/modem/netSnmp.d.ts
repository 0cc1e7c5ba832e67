/** The part of the package that a probe needs. There is no `set` here, so none can be written. */
declare module 'net-snmp' {
  import type { EventEmitter } from 'node:events';

  export interface Varbind {
    readonly oid: string;
    readonly type: number;
    /** A number for 32-bit types, bytes for strings and Counter64, null for "no such object". */
    readonly value: unknown;
  }

  export interface SessionOptions {
    readonly version: number;
    readonly port: number;
    readonly transport: 'udp4' | 'udp6';
    readonly timeout: number;
    readonly retries: number;
    readonly backwardsGetNexts: boolean;
  }

  export interface User {
    readonly name: string;
    readonly level: number;
    readonly authProtocol?: number;
    readonly authKey?: string;
    readonly privProtocol?: number;
    readonly privKey?: string;
  }

  export interface Session extends EventEmitter {
    get(oids: readonly string[], done: (error: Error | null, varbinds: readonly Varbind[]) => void): void;
    subtree(
      oid: string,
      maxRepetitions: number,
      feed: (varbinds: readonly Varbind[]) => boolean | undefined,
      done: (error: Error | null) => void,
    ): void;
    close(): void;
  }

  class RequestTimedOutError extends Error {}
  class ResponseInvalidError extends Error {
    readonly code: number;
  }
  class RequestFailedError extends Error {
    readonly status: number;
  }

  const snmp: {
    readonly Version2c: number;
    readonly Version3: number;
    readonly SecurityLevel: {
      readonly noAuthNoPriv: number;
      readonly authNoPriv: number;
      readonly authPriv: number;
    };
    readonly AuthProtocols: Readonly<
      Record<'md5' | 'sha' | 'sha224' | 'sha256' | 'sha384' | 'sha512', number>
    >;
    readonly PrivProtocols: Readonly<Record<'aes' | 'aes256b' | 'aes256r', number>>;
    readonly ObjectType: {
      readonly Integer: number;
      readonly OctetString: number;
      readonly Counter: number;
      readonly Gauge: number;
      readonly TimeTicks: number;
      readonly Counter64: number;
      readonly NoSuchObject: number;
      readonly NoSuchInstance: number;
      readonly EndOfMibView: number;
    };
    readonly ResponseInvalidCode: { readonly EAuthFailure: number; readonly ECouldNotDecrypt: number };
    readonly RequestTimedOutError: typeof RequestTimedOutError;
    readonly ResponseInvalidError: typeof ResponseInvalidError;
    readonly RequestFailedError: typeof RequestFailedError;
    createSession(host: string, community: string, options: SessionOptions): Session;
    createV3Session(host: string, user: User, options: SessionOptions): Session;
  };
  export default snmp;
}
