import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { normalCdf } from '../../api/trend/statistics/normal.ts';
import { leastSquares } from '../../ingest/signal/leastSquares.ts';
import { MAD_TO_SD, medianAbsoluteDeviation } from '../../ingest/signal/medianAbsoluteDeviation.ts';
import { median } from '../../ingest/signal/median.ts';
import { mannKendall } from '../evaluate/mannKendall.ts';
import { theilSenSlope } from '../evaluate/theilSenSlope.ts';
import { R_MISSING, runR } from '../support/rscript.ts';
import glr from './channelGlr.json' with { type: 'json' };
import nile from './nile.json' with { type: 'json' };

interface Answers {
  readonly lm: number[];
  readonly mad: [number];
  readonly median: [number];
  readonly slope: [number];
  readonly s: [number];
  readonly pnorm: number[];
}

const here = (name: string) => path.join(import.meta.dirname, name);
/** Levels with a slow fall, a wild value and ties. */
const levels = Array.from({ length: 60 }, (_, i) => 18 - 0.03 * i + 0.1 * ((i * i) % 7) + (i === 20 ? 9 : 0));
const DEVIATES = [-9, -5, -2.5, -0.3, 0, 0.7, 1.96, 4, 6];

// Source of every figure here: R's own functions, asked at the time of the test.
describe.skipIf(R_MISSING !== null)(`beside R${R_MISSING === null ? '' : `: skipped, ${R_MISSING}`}`, () => {
  for (const [name, y] of [['levels', levels], ['the Nile', nile.values]] as const) {
    test(`${name}: least squares, median, scatter and trend are R's`, () => {
      const r = runR<Answers>([here('againstR.R'), y.join(',')]);
      const n = y.length;
      const columns = [y.map(() => 1), y.map((_, i) => (i + 1) / n), y.map((_, i) => Math.sqrt(i + 1))];
      leastSquares(columns, y)!.forEach((each, i) => expect(each).toBeCloseTo(r.lm[i]!, 6));
      expect(median(y)).toBeCloseTo(r.median[0], 9);
      expect(medianAbsoluteDeviation(y)! * MAD_TO_SD).toBeCloseTo(r.mad[0], 3);
      expect(theilSenSlope(y)).toBeCloseTo(r.slope[0], 9);
      expect(mannKendall(y)!.s).toBe(r.s[0]);
    });
  }

  test('areas under the normal curve agree to ten digits, in the tails too', () => {
    const { pnorm } = runR<Answers>([here('againstR.R'), '1,2,3,4']);
    DEVIATES.forEach((z, i) => expect(normalCdf(z) / pnorm[i]!).toBeCloseTo(1, 10));
  });

  test("the channel scans' figures in channelGlr.json are what R says today", () => {
    const { source: _, ...today } = runR<typeof glr>([here('channelGlr.R')]);
    const { source: __, ...kept } = glr;
    const numbers = (value: unknown): number[] =>
      typeof value === 'number' ? [value] : Object.values(value as object).flatMap(numbers);
    const asked = numbers(today);
    expect(asked).toHaveLength(numbers(kept).length);
    // The places come from a search that stops where it pleases.
    numbers(kept).forEach((value, i) => expect(asked[i]! / value).toBeCloseTo(1, 3));
  });
});
