import { expect, test } from 'vitest';
import { readOptions } from '../../../api/siteTool/options.ts';
import { USAGE } from '../../../api/siteTool/usage.ts';

const environment = { LEVELKEEP_TOKEN: 'lkt_x' };
const read = (...args: string[]) => readOptions(args, environment);

test('a command takes as many names as it asks for', () => {
  expect(
    read('accept', 'Mill House', 'handoff', '--from', '2026-03-01T00:00Z', '--note', 'why'),
  ).toMatchObject({
    command: 'accept',
    names: ['Mill House', 'handoff'],
    from: '2026-03-01T00:00:00.000Z',
    to: null,
    note: 'why',
    url: 'http://127.0.0.1:8620',
  });
  expect(() => read('accept', 'Mill House')).toThrow('accept takes SITE POINT');
});

test.each([
  [['frobnicate'], 'there is no command "frobnicate"'],
  [['toString'], 'there is no command "toString"'],
  [['missing', '1', '--colour', 'red'], '--colour'],
  [['propose', '1', 'handoff', '--to', 'soon'], '--to is no time'],
])('%j is refused', (args, message) => {
  expect(() => read(...args)).toThrow(message);
});

test('without a token nothing is tried; without a command help is asked for', () => {
  expect(() => readOptions(['missing', '1'], {})).toThrow('LEVELKEEP_TOKEN is not set');
  expect(readOptions([], {})).toBeNull();
  expect(read('--help')).toBeNull();
});

test('help names every command', () => {
  for (const command of [
    'create',
    'missing',
    'key',
    'agent-config',
    'find-plan',
    'propose',
    'accept',
    'import',
    'template',
  ]) {
    expect(USAGE).toContain(`npm run site -- ${command}`);
  }
});
