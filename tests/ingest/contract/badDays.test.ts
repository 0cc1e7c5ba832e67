import { gzipSync, zstdCompressSync } from 'node:zlib';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { checkSweep } from '../../../ingest/contract/checkSweep.ts';
import { decodeBody } from '../../../ingest/contract/decodeBody.ts';
import { INGEST_LIMITS } from '../../../ingest/contract/limits.ts';
import { BadRequest, parseBody } from '../../../ingest/contract/parseBody.ts';
import { aSweep } from '../../support/contractSweep.ts';
import { hostileValue } from '../../support/hostile.ts';

const NOW = Date.parse('2026-03-02T00:00:00Z');
const CASES = { numRuns: 5_000 };
const FIELDS = Object.keys(aSweep());

function check(sweep: unknown) {
  return checkSweep(sweep, 0, NOW, INGEST_LIMITS);
}

test('whatever one element is, it is taken or refused with a path and a reason', () => {
  fc.assert(
    fc.property(hostileValue, (value) => {
      const result = check(value);
      if ('reason' in result) {
        expect(result.path).toMatch(/^sweeps\[0\]/);
        expect(result.reason.length).toBeGreaterThan(10);
      }
    }),
    CASES,
  );
});

test('a good sweep with one field replaced by anything is taken or refused by that field', () => {
  fc.assert(
    fc.property(fc.constantFrom(...FIELDS), hostileValue, (field, value) => {
      const result = check(aSweep({ [field]: value }));
      if (!('reason' in result)) return;
      // A wrong frequency list may show in the arrays beside it, and in "lost".
      const blamed =
        field === 'freq_mhz' || field === 'level_dbmv'
          ? /^sweeps\[0\]\.\w+/
          : new RegExp(`^sweeps\\[0\\]\\.${field}`);
      expect(result.path).toMatch(blamed);
    }),
    CASES,
  );
});

test('one reading replaced by anything but a number in range or null is refused at its place', () => {
  fc.assert(
    fc.property(hostileValue, fc.nat(2), (value, place) => {
      const levels: unknown[] = [20, 19, 18];
      levels[place] = value;
      const result = check(aSweep({ level_dbmv: levels, mer_db: null, cnr_db: null, lost: null }));
      const good = value === null || (typeof value === 'number' && value >= -60 && value <= 80);
      expect('reason' in result).toBe(!good);
      if ('reason' in result) expect(result.path).toBe(`sweeps[0].level_dbmv[${place}]`);
    }),
    CASES,
  );
});

test('any order of the carriers is the same sweep', () => {
  const carriers = [57, 63, 69, 75, 123, 129].map((mhz, i) => ({
    mhz,
    level: 20 - i,
    mer: i === 2 ? null : 38 + i,
  }));
  const sweepOf = (list: typeof carriers) =>
    check(
      aSweep({
        freq_mhz: list.map((c) => c.mhz),
        level_dbmv: list.map((c) => c.level),
        mer_db: list.map((c) => c.mer),
        cnr_db: null,
        lost: null,
      }),
    );

  fc.assert(
    fc.property(fc.shuffledSubarray(carriers, { minLength: 6, maxLength: 6 }), (shuffled) => {
      expect(sweepOf(shuffled)).toEqual(sweepOf(carriers));
    }),
  );
});

test('a body that is cut, flipped or noise is refused or read, never anything else', async () => {
  const good = Buffer.from(JSON.stringify({ sweeps: [aSweep(), aSweep({ instrument: 'probe-8' })] }));
  const forms = { identity: good, gzip: gzipSync(good), zstd: zstdCompressSync(good) };

  await fc.assert(
    fc.asyncProperty(
      fc.constantFrom('identity' as const, 'gzip' as const, 'zstd' as const),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.integer({ min: 0, max: 255 }),
      async (encoding, cut, flip, mask) => {
        const bytes = Buffer.from(forms[encoding].subarray(0, Math.ceil(cut * forms[encoding].length)));
        if (bytes.length > 0) bytes[Math.floor(flip * (bytes.length - 1))]! ^= mask;
        try {
          expect(parseBody(await decodeBody(bytes, encoding, INGEST_LIMITS), INGEST_LIMITS)).toBeInstanceOf(
            Array,
          );
        } catch (error) {
          expect(error).toBeInstanceOf(BadRequest);
        }
      },
    ),
    { numRuns: 3_000 },
  );
});

test.each([
  ['a future clock', { at: '2026-03-02T00:10:01Z' }, 'sweeps[0].at', 'set the clock'],
  ['too old', { at: '2023-12-01T00:00:00Z' }, 'sweeps[0].at', '800 days'],
  ['no zone', { at: '2026-03-01T12:00:00' }, 'sweeps[0].at', 'zone'],
  ['no such day', { at: '2026-02-29T12:00:00Z' }, 'sweeps[0].at', '2026-03-01T12:00:00Z'],
  [
    'a level in dBµV',
    { level_dbmv: [20, 87.2, null] },
    'sweeps[0].level_dbmv[1]',
    '87.2 is outside -60 to 80 dBmV: check the unit',
  ],
  ['a frequency in Hz', { freq_mhz: [57e6, 63, 69] }, 'sweeps[0].freq_mhz[0]', 'MHz'],
  ['a carrier twice', { freq_mhz: [57, 57, 69] }, 'sweeps[0].freq_mhz', 'twice'],
  ['arrays that differ in length', { mer_db: [40] }, 'sweeps[0].mer_db', '1 values for 3 carriers'],
  ['lost and measured', { lost: [57] }, 'sweeps[0].lost[0]', 'either lost or measured'],
  ['a field of no contract', { levels: [] }, 'sweeps[0].levels', 'the fields are'],
  ['a NUL in a name', { instrument: 'probe\u0000' }, 'sweeps[0].instrument', 'control'],
  ['half a character', { point: 'hand\ud800' }, 'sweeps[0].point', 'half'],
])('%s is refused in plain words', (_, over, path, words) => {
  const result = check(aSweep(over));

  expect(result).toMatchObject({ path, reason: expect.stringContaining(words) });
});
