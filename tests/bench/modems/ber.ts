/** The little of BER (X.690) that an SNMP message needs. Lengths up to 65,535. */
export const TAG = {
  integer: 0x02,
  octets: 0x04,
  oid: 0x06,
  sequence: 0x30,
  gauge: 0x42,
  endOfMibView: 0x82,
  get: 0xa0,
  response: 0xa2,
  getBulk: 0xa5,
} as const;

export interface Element {
  readonly tag: number;
  readonly body: Buffer;
  /** Where the next one begins. */
  readonly end: number;
}

export function readElement(bytes: Buffer, at: number): Element {
  const tag = bytes[at]!;
  const first = bytes[at + 1]!;
  const lengthBytes = first < 0x80 ? 0 : first & 0x7f;
  const length = lengthBytes === 0 ? first : bytes.readUIntBE(at + 2, lengthBytes);
  const from = at + 2 + lengthBytes;
  return { tag, body: bytes.subarray(from, from + length), end: from + length };
}

export function readAll(bytes: Buffer): Element[] {
  const elements: Element[] = [];
  for (let at = 0; at < bytes.length; at = elements.at(-1)!.end) elements.push(readElement(bytes, at));
  return elements;
}

export function write(tag: number, ...parts: readonly Buffer[]): Buffer {
  const body = Buffer.concat(parts);
  const length = body.length < 0x80 ? [body.length] : [0x82, body.length >> 8, body.length & 0xff];
  return Buffer.concat([Buffer.from([tag, ...length]), body]);
}

export function writeInteger(value: number, tag: number = TAG.integer): Buffer {
  const body = Buffer.alloc(4);
  body.writeInt32BE(value);
  return write(tag, body);
}

export function writeOid(oid: string): Buffer {
  const [first, second, ...rest] = oid.split('.').map(Number);
  const bytes = [first! * 40 + second!, ...rest.flatMap(base128)];
  return write(TAG.oid, Buffer.from(bytes));
}

function base128(value: number): number[] {
  const bytes = [value & 0x7f];
  for (let left = value >>> 7; left > 0; left >>>= 7) bytes.unshift((left & 0x7f) | 0x80);
  return bytes;
}
