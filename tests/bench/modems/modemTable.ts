import { COLUMNS } from '../../../ingest/probe/modem/objects.ts';
import { readAll, readElement, TAG, write, writeInteger, writeOid } from './ber.ts';

const CHANNELS = 32;
const FIRST_HZ = 603_000_000;
const WIDTH_HZ = 6_000_000;

/** The rows of each column, in the order of their OIDs; all modems of a bench have the same. */
const COLUMN_VALUES: readonly (readonly [oid: string, value: (i: number) => number])[] = [
  [COLUMNS.operStatus, () => 1],
  [COLUMNS.frequencyHz, (i) => FIRST_HZ + i * WIDTH_HZ],
  [COLUMNS.widthHz, () => WIDTH_HZ],
  [COLUMNS.modulation, () => 4],
  [COLUMNS.powerTenths, (i) => 30 - i],
  [COLUMNS.signalNoiseTenths, (i) => 380 - i],
  [COLUMNS.microreflections, () => 30],
  [COLUMNS.rxMerTenths, (i) => 390 - i],
];

const varbinds: Buffer[] = [];
/** Where a walk goes on after an OID, by the OID's bytes. */
const nextAfter = new Map<string, number>();
for (const [column, value] of COLUMN_VALUES) {
  nextAfter.set(keyOf(writeOid(column)), varbinds.length);
  for (let i = 0; i < CHANNELS; i++) {
    const oid = writeOid(`${column}.${i + 1}`);
    varbinds.push(write(TAG.sequence, oid, writeInteger(value(i))));
    nextAfter.set(keyOf(oid), varbinds.length);
  }
}

/** The answer of a modem to an SNMP v2c request for its tables. It knows get-bulk, and answers "end" to all else. */
export function answerRequest(message: Buffer): Buffer {
  const [version, community, pdu] = readAll(readElement(message, 0).body);
  const [requestId, , repetitions, asked] = readAll(pdu!.body);
  const most = pdu!.tag === TAG.getBulk ? repetitions!.body.readUIntBE(0, repetitions!.body.length) : 1;
  const found = readAll(asked!.body).flatMap(({ body }) => after(body, most));
  return write(
    TAG.sequence,
    write(TAG.integer, version!.body),
    write(TAG.octets, community!.body),
    write(
      TAG.response,
      write(TAG.integer, requestId!.body),
      writeInteger(0),
      writeInteger(0),
      write(TAG.sequence, ...found),
    ),
  );
}

function after(varbind: Buffer, most: number): Buffer[] {
  const oid = readElement(varbind, 0);
  const from = nextAfter.get(oid.body.toString('hex'));
  if (from !== undefined && from < varbinds.length) return varbinds.slice(from, from + most);
  return [write(TAG.sequence, varbind.subarray(0, oid.end), write(TAG.endOfMibView))];
}

function keyOf(oid: Buffer): string {
  return readElement(oid, 0).body.toString('hex');
}
