import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { type Cta542Raster, cta542 } from '../../../ingest/plan/cta542.ts';
import reference from '../../reference/cta542.json' with { type: 'json' };

const FOLDER = '/usr/share/dvb/atsc';
const installed = existsSync(FOLDER);
const unlessAbsent = installed ? '' : ' (skipped: the Debian package dtv-scan-tables is not installed)';

const HZ_MHZ = 1e-6;
/** The harmonic comb is 6.0003 MHz times n: files print four decimals. */
const PRINTED_MHZ = 1e-4;

function centres(raster: Cta542Raster): Map<string, number> {
  return new Map(cta542(raster).map(({ channel, centreMhz }) => [channel, centreMhz]));
}

describe('cta542', () => {
  // Published: CTA-542 rasters as kept in tests/reference/cta542.json, sureness noted there.
  test.each(['STD', 'HRC', 'IRC'] as const)(
    '%s agrees with the reference table in every channel',
    (raster) => {
      const computed = new Map(cta542(raster).map((channel) => [channel.channel, channel]));
      const key = raster.toLowerCase() as 'std' | 'hrc' | 'irc';
      const rows = reference.channels.flatMap((row) =>
        row[key] ? [{ name: row.channel, place: row[key] }] : [],
      );
      expect(computed.size).toBe(rows.length);
      for (const { name, place } of rows) {
        const [centreMhz, visualMhz] = place as [number, number];
        expect(Math.abs(computed.get(name)!.centreMhz - centreMhz)).toBeLessThan(PRINTED_MHZ);
        expect(Math.abs(computed.get(name)!.visualMhz! - visualMhz)).toBeLessThan(PRINTED_MHZ);
      }
    },
  );

  test('runs to 1002 MHz in rising frequency', () => {
    for (const raster of ['STD', 'HRC', 'IRC'] as const) {
      const channels = cta542(raster);
      for (let i = 1; i < channels.length; i++) {
        expect(channels[i]!.centreMhz).toBeGreaterThan(channels[i - 1]!.centreMhz + 5.9);
      }
      const top = channels.at(-1)!;
      expect(top.channel).toBe('158');
      expect(Math.abs(top.centreMhz + top.widthMhz / 2 - 1002)).toBeLessThan(1.3);
    }
  });

  // 47 CFR 76.612: 12.5 kHz in the communication bands (quoted), 25 kHz in the navigation bands (after).
  test('offsets carriers in the aeronautical bands and nowhere else', () => {
    const std = centres('STD');
    expect(std.get('14')).toBeCloseTo(123.0125, 6);
    expect(std.get('98')).toBeCloseTo(111.025, 6);
    expect(std.get('42')).toBeCloseTo(333.025, 6);
    expect(std.get('17')).toBeCloseTo(141, 6);
    expect(std.get('54')).toBeCloseTo(405, 6);
  });

  test('gives channel 1 to the coherent rasters only, and moves 5 and 6 up by 2 MHz there', () => {
    expect(centres('STD').has('1')).toBe(false);
    expect(centres('IRC').get('1')).toBeCloseTo(75.0125, 6);
    expect(centres('IRC').get('5')! - centres('STD').get('5')!).toBeCloseTo(2.0125, 6);
  });
});

/** Frequencies in the order of the file, which is that of the channels it begins with. */
function fileCentresMhz(name: string): number[] {
  const text = readFileSync(`${FOLDER}/${name}`, 'utf8');
  return [...text.matchAll(/FREQUENCY\s*=\s*(\d+)/g)].map(([, hertz]) => Number(hertz) * HZ_MHZ);
}

const NO_ROOM_FOR_CHANNEL_1 =
  '5 and 6 as in the standard raster would overlap channel 1 (72 to 78 MHz) by 2 MHz, and are no multiple of the comb';
const NAVIGATION = 'the 108 to 118 MHz navigation band asks for 25 kHz';

/** Where file and formula differ, file less formula in MHz, and why the formula is kept. */
const KNOWN_DIFFERENCES = [
  { file: 'us-Cable-Standard-center-frequencies-QAM256', raster: 'STD', fixedMhz: 0, differences: [] },
  {
    file: 'us-Cable-EIA-542-HRC-center-frequencies-QAM256',
    raster: 'HRC',
    fixedMhz: 0,
    differences: [
      { channel: '5', mhz: -2, why: NO_ROOM_FOR_CHANNEL_1 },
      { channel: '6', mhz: -2, why: NO_ROOM_FOR_CHANNEL_1 },
    ],
  },
  {
    file: 'us-Cable-HRC-center-frequencies-QAM256',
    raster: 'HRC',
    fixedMhz: 0,
    differences: [
      { channel: '5', mhz: -2, why: NO_ROOM_FOR_CHANNEL_1 },
      { channel: '6', mhz: -2, why: NO_ROOM_FOR_CHANNEL_1 },
      {
        channel: '98',
        mhz: -0.0196,
        why: 'this file keeps the pure harmonic where the other follows the exception',
      },
      {
        channel: '99',
        mhz: -0.0193,
        why: 'this file keeps the pure harmonic where the other follows the exception',
      },
    ],
  },
  {
    file: 'us-Cable-EIA-542-IRC-center_frequencies-QAM256',
    raster: 'IRC',
    fixedMhz: 0,
    differences: [
      { channel: '2', mhz: 0.0125, why: 'the file has 25 kHz at 57 MHz, where no navigation band lies' },
      { channel: '5', mhz: -2, why: NO_ROOM_FOR_CHANNEL_1 },
      { channel: '6', mhz: -2, why: NO_ROOM_FOR_CHANNEL_1 },
      { channel: '98', mhz: -0.0125, why: NAVIGATION },
      { channel: '99', mhz: -0.0125, why: NAVIGATION },
    ],
  },
  {
    file: 'us-Cable-IRC-center-frequencies-QAM256',
    raster: 'IRC',
    /** This file leaves out the 12.5 kHz of the raster everywhere; put back before comparing. */
    fixedMhz: 0.0125,
    differences: [
      { channel: '5', mhz: -2, why: NO_ROOM_FOR_CHANNEL_1 },
      { channel: '6', mhz: -2, why: NO_ROOM_FOR_CHANNEL_1 },
      { channel: '42', mhz: -0.0125, why: 'the 328.6 to 335.4 MHz navigation band asks for 25 kHz' },
      { channel: '98', mhz: -0.0125, why: NAVIGATION },
      { channel: '99', mhz: -0.0125, why: NAVIGATION },
    ],
  },
] as const;

describe(`dtv-scan-tables${unlessAbsent}`, () => {
  test.skipIf(!installed).each(KNOWN_DIFFERENCES)('$file agrees but for the listed channels', (entry) => {
    const known = new Map<string, number>(entry.differences.map(({ channel, mhz }) => [channel, mhz]));
    const raster = centres(entry.raster);
    const first = entry.raster === 'STD' ? 2 : 1;
    const measured = new Map<string, number>();
    const inFile = fileCentresMhz(entry.file);
    expect(inFile).toHaveLength(entry.raster === 'STD' ? 157 : 125);
    inFile.forEach((mhz, i) => {
      const channel = String(first + i);
      const difference = mhz + entry.fixedMhz - raster.get(channel)!;
      if (Math.abs(difference) > PRINTED_MHZ) measured.set(channel, difference);
    });
    expect([...measured.keys()]).toEqual([...known.keys()]);
    for (const [channel, mhz] of known) expect(measured.get(channel)).toBeCloseTo(mhz, 3);
  });
});
