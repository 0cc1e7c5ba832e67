import snmp, { type Varbind } from 'net-snmp';

const { ObjectType } = snmp;

/** TenthdBmV or TenthdB to dBmV or dB: -73 is -7.3. Source: textual conventions of RFC 4546. */
export function tenthsToDb(tenths: number): number {
  return tenths / 10;
}

/** Hz to MHz: 603000000 is 603. */
export function hzToMhz(hz: number): number {
  return hz / 1_000_000;
}

/** docsIfDownChannelModulation in words; null where the modem itself doesn't know. Source: RFC 4546. */
export function modulationName(code: number): string | null {
  if (code === 3) return '64-QAM';
  if (code === 4) return '256-QAM';
  if (code === 2) return 'another modulation';
  return null;
}

/**
 * A numeric value of any SNMP integer type. Null for "no such object", for other types, and for a
 * 64-bit counter beyond 2^53, which a number can't hold exactly.
 */
export function integerOf(varbind: Varbind): number | null {
  const { type, value } = varbind;
  if (type === ObjectType.Counter64) return value instanceof Uint8Array ? bigEndian(value) : null;
  const isInteger =
    type === ObjectType.Integer ||
    type === ObjectType.Counter ||
    type === ObjectType.Gauge ||
    type === ObjectType.TimeTicks;
  return isInteger && typeof value === 'number' ? value : null;
}

/** The bytes of an octet string; null for other types. */
export function bytesOf({ type, value }: Varbind): Uint8Array | null {
  return type === ObjectType.OctetString && value instanceof Uint8Array ? value : null;
}

/** A text value without control characters and outer blanks; null when there is nothing left of it. */
export function textOf(varbind: Varbind): string | null {
  if (varbind.type !== ObjectType.OctetString || !(varbind.value instanceof Uint8Array)) return null;
  const text = new TextDecoder()
    .decode(varbind.value)
    .replaceAll(/\p{Cc}/gu, '')
    .trim();
  return text === '' ? null : text;
}

function bigEndian(bytes: Uint8Array): number | null {
  const value = bytes.reduce((sum, byte) => (sum << 8n) | BigInt(byte), 0n);
  return value <= BigInt(Number.MAX_SAFE_INTEGER) ? Number(value) : null;
}
