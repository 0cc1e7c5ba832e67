import { expect, test } from 'vitest';
import { keptAway } from '../../../api/probes/keptAway.ts';

test.each([
  '127.0.0.1',
  '127.9.9.9',
  '::1',
  '::ffff:127.0.0.1',
  '0.0.0.0',
  '169.254.169.254',
  'fe80::1',
  '224.0.0.1',
  '255.255.255.255',
  'localhost',
])('no instrument is read at %s', async (host) => {
  expect(await keptAway(host, false)).not.toBeNull();
});

test.each(['10.4.0.7', '192.168.100.1', '172.16.3.4', '192.0.2.10', '2001:db8::7', 'fd00::7'])(
  'an instrument may be read at %s',
  async (host) => {
    expect(await keptAway(host, false)).toBeNull();
  },
);

test('the server’s own addresses can be allowed, link-local ones cannot', async () => {
  expect(await keptAway('127.0.0.1', true)).toBeNull();
  expect(await keptAway('::1', true)).toBeNull();
  expect(await keptAway('169.254.169.254', true)).toBe('169.254.169.254');
});

test('a name that leads nowhere is left to the driver, which says so', async () => {
  expect(await keptAway('no-such-host.invalid', false)).toBeNull();
});
