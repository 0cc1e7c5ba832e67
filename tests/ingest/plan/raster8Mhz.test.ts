import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { raster8Mhz } from '../../../ingest/plan/raster8Mhz.ts';
import reference from '../../reference/raster8Mhz.json' with { type: 'json' };

const FOLDER = '/usr/share/dvb/dvb-c';
const installed = existsSync(FOLDER);
const unlessAbsent = installed ? '' : ' (skipped: the Debian package dtv-scan-tables is not installed)';

describe('raster8Mhz', () => {
  // Published: EN 50083/60728 family usage, after; see tests/reference/raster8Mhz.json.
  test('names S21 to S41 and E21 to E69 at the reference centres', () => {
    expect(Object.fromEntries(raster8Mhz().map(({ channel, centreMhz }) => [channel, centreMhz]))).toEqual(
      reference.centresMhz,
    );
  });

  test.skipIf(!installed)(
    `holds nearly all cable entries of dtv-scan-tables in its band${unlessAbsent}`,
    () => {
      const centres = new Set(raster8Mhz().map(({ centreMhz }) => centreMhz));
      const entries = readdirSync(FOLDER)
        .flatMap((name) => [...readFileSync(`${FOLDER}/${name}`, 'utf8').matchAll(/FREQUENCY\s*=\s*(\d+)/g)])
        .map(([, hertz]) => Number(hertz) / 1e6)
        .filter((mhz) => mhz >= 300 && mhz <= 862);
      const on = entries.filter((mhz) => centres.has(mhz));
      expect(entries.length).toBeGreaterThanOrEqual(900);
      expect(on.length / entries.length).toBeGreaterThan(0.98);
    },
  );
});
