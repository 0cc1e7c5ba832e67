import { appendFileSync, readFileSync } from 'node:fs';
import { createInterface } from 'node:readline';
import type { ServedObject } from './snmpd.ts';

/**
 * Answers snmpd's pass_persist protocol for one branch: a command a line, then its arguments, a line each.
 * Run by snmpd as `node serveTables.ts objects.json .branch requests.log`.
 */
const [, , objectsFile = '', branch = '', requestsFile = ''] = process.argv;

/** Read anew for each request, so that a test may serve other values. */
function objects() {
  return (JSON.parse(readFileSync(objectsFile, 'utf8')) as ServedObject[])
    .map(([oid, type, value]) => ({ oid: `.${oid}`, type, value }))
    .filter(({ oid }) => oid.startsWith(`${branch}.`))
    .sort((a, b) => compareOids(a.oid, b.oid));
}

const argumentsOf: Readonly<Record<string, number>> = { get: 1, getnext: 1, set: 2 };
let held: string[] = [];

createInterface({ input: process.stdin }).on('line', (line) => {
  if (held.length === 0 && line === 'PING') return console.log('PONG');
  if (held.length === 0 && line === '') return process.exit(0);
  held.push(line);
  const [command = '', oid = ''] = held;
  if (held.length <= (argumentsOf[command] ?? 0)) return;
  appendFileSync(requestsFile, `${held.join(' ')}\n`);
  held = [];
  console.log(answer(command, oid));
});

function answer(command: string, oid: string): string {
  if (command === 'set') return 'not-writable';
  const found =
    command === 'get'
      ? objects().find((object) => object.oid === oid)
      : objects().find((object) => compareOids(object.oid, oid) > 0);
  return found === undefined ? 'NONE' : `${found.oid}\n${found.type}\n${found.value}`;
}

function compareOids(a: string, b: string): number {
  const left = a.split('.').map(Number);
  const right = b.split('.').map(Number);
  for (let i = 0; i < Math.max(left.length, right.length); i++) {
    const difference = (left[i] ?? -1) - (right[i] ?? -1);
    if (difference !== 0) return difference;
  }
  return 0;
}
