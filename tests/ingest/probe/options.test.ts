import { chmod, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { parseInterval, parseTask } from '../../../ingest/probe/options.ts';

const secrets = { LEVELKEEP_KEY: 'a-key', LEVELKEEP_COMMUNITY: 'a-community' };
const words = (line: string) => line.split(' ').filter((word) => word !== '');
const parse = (line: string, environment: Record<string, string> = secrets) =>
  parseTask(words(line), environment);
const here = '--host 192.0.2.10 --point handoff --url http://127.0.0.1:8620';

test('a host, a point and an address make one sweep over v2c, secrets from the environment', () => {
  expect(parse(here)).toEqual({
    kind: 'once',
    target: { host: '192.0.2.10', port: 161, access: { version: '2c', community: 'a-community' } },
    point: 'handoff',
    instrument: null,
    server: { url: new URL('http://127.0.0.1:8620'), key: 'a-key' },
    warnings: [],
  });
});

test('a user makes it v3', () => {
  const environment = { LEVELKEEP_AUTH_PASSWORD: 'auth password', LEVELKEEP_PRIV_PASSWORD: 'priv password' };
  expect(
    parse('--host m --point p --user probe --auth SHA256 --priv aes --print', environment),
  ).toMatchObject({
    kind: 'print',
    target: {
      access: {
        version: '3',
        user: 'probe',
        auth: { protocol: 'sha256', password: 'auth password' },
        priv: { protocol: 'aes', password: 'priv password' },
      },
    },
  });
});

test('--every takes seconds, minutes and hours', () => {
  expect(parse(`${here} --every 15m`)).toMatchObject({ kind: 'every', intervalMs: 900_000 });
  expect(parseInterval('30s')).toBe(30_000);
  expect(parseInterval('24h')).toBe(86_400_000);
});

test.each(['29s', '25h', '15', 'm', '-5m', '1.5h', ''])('--every “%s” is refused with an example', (text) => {
  expect(() => parseInterval(text)).toThrow(
    expect.objectContaining({
      kind: 'usage',
      message: expect.stringContaining('--every'),
      action: expect.stringContaining('15m'),
    }),
  );
});

test('--help needs nothing else', () => {
  expect(parse('--help')).toEqual({ kind: 'help' });
});

test.each([
  ['--point p --url http://h', '--host is missing'],
  ['--host m --url http://h', '--point is missing'],
  ['--host m --point p', '--url is missing'],
  ['--host m --point p --url ftp://h', '--url: “ftp://h” is no http or https address'],
  ['--host m --point p --url nonsense', '--url: “nonsense” is no http or https address'],
  [`${here} --snmp-port 70000`, '--snmp-port: “70000” is no port'],
  [`${here} --once --print`, '--print and --once exclude one another'],
  [`${here} --once --every 15m`, '--once and --every exclude one another'],
  [`${here} --user u --community c`, '--community is for SNMP v2c and --user for v3'],
  [`${here} --auth sha`, '--auth is for SNMP v3, which needs --user'],
  [`${here} --user u --auth rot13`, '--auth: “rot13” is not known'],
  [`${here} --user u --auth sha`, '--auth-password is missing'],
  [`${here} --user u --auth sha --auth-password short`, '--auth-password has 5 characters'],
  [`${here} --user u --priv aes --priv-password long-enough`, '--priv needs --auth as well'],
])('%s is refused: %s', (line, message) => {
  expect(() => parse(line)).toThrow(expect.objectContaining({ kind: 'usage', message }));
});

test('an option that does not exist is named', () => {
  expect(() => parse(`${here} --onec`)).toThrow(
    expect.objectContaining({ kind: 'usage', message: expect.stringContaining('--onec') }),
  );
});

test('a missing secret is asked for by its variable, not by the command line alone', () => {
  expect(() => parse(here, { LEVELKEEP_COMMUNITY: 'c' })).toThrow(
    expect.objectContaining({
      message: '--key is missing',
      action: expect.stringContaining('LEVELKEEP_KEY'),
    }),
  );
  expect(() => parse(here, { LEVELKEEP_KEY: 'k' })).toThrow(
    expect.objectContaining({ action: expect.stringContaining('LEVELKEEP_COMMUNITY') }),
  );
});

test('a key broken over two lines is refused, one with a line end is not', () => {
  expect(() => parse(here, { ...secrets, LEVELKEEP_KEY: 'one\ntwo' })).toThrow(/--key/);
  expect(parse(here, { ...secrets, LEVELKEEP_KEY: 'one\n' })).toMatchObject({ server: { key: 'one' } });
});

test('secrets on the command line win and bring a caution that does not repeat them', () => {
  const task = parse(`${here} --key from-argv`);
  expect(task).toMatchObject({
    server: { key: 'from-argv' },
    warnings: [expect.stringContaining('--key can be read by every user of this machine')],
  });
  expect(JSON.stringify(task.kind === 'once' && task.warnings)).not.toContain('from-argv');
});

test('an unencrypted way to another machine brings a caution, https and this machine do not', () => {
  const to = (url: string) => parse(`--host m --point p --url ${url}`);
  expect(to('http://levelkeep.example.com')).toMatchObject({
    warnings: [expect.stringContaining('unencrypted')],
  });
  expect(to('https://levelkeep.example.com')).toMatchObject({ warnings: [] });
  expect(to('http://[::1]:8620')).toMatchObject({ warnings: [] });
});

describe('a secrets file', () => {
  let folder: string;
  let file: string;
  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-secrets-'));
    file = path.join(folder, 'secrets');
    await writeFile(file, '# the desk modem\nLEVELKEEP_KEY=from-file\n', { mode: 0o600 });
  });
  afterAll(() => rm(folder, { recursive: true }));

  test('wins over the environment, which gives the rest', () => {
    expect(parse(`${here} --secrets ${file}`)).toMatchObject({
      server: { key: 'from-file' },
      target: { access: { community: 'a-community' } },
      warnings: [],
    });
  });

  test('that others can open brings a caution', async () => {
    await chmod(file, 0o644);
    expect(parse(`${here} --secrets ${file}`)).toMatchObject({
      warnings: [expect.stringContaining('chmod 600')],
    });
  });

  test('that is not there is named', () => {
    expect(() => parse(`${here} --secrets ${folder}/none`)).toThrow(
      expect.objectContaining({ kind: 'usage', message: expect.stringContaining('--secrets: ENOENT') }),
    );
  });
});
