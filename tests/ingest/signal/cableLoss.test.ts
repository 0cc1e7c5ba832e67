import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { cableLossDb } from '../../../ingest/signal/cableLossDb.ts';
import type { CoaxType } from '../../../ingest/signal/cableModel.ts';
import { cableTemperatureFactor } from '../../../ingest/signal/cableTemperatureFactor.ts';
import { fitCableLoss } from '../../../ingest/signal/fitCableLoss.ts';
import { type PairCategory, pairLossDb } from '../../../ingest/signal/pairLossDb.ts';
import reference from '../../reference/cableLoss.json' with { type: 'json' };

const HUNDRED_FEET_M = 30.48;
const coaxTypes = Object.entries(reference.coax.types) as [
  CoaxType,
  (typeof reference.coax.types)['series6'],
][];

describe('cableLossDb', () => {
  // Published: typical published maxima (after SCTE 74 class data). The fit's own residual is up to 0.13 dB per 100 ft.
  test.each(coaxTypes)(
    '%s follows the published table from 55 to 1000 MHz',
    (type, { table, fit55to1000 }) => {
      for (const [mhz, lossDb] of table as [number, number][]) {
        if (mhz < 55) continue;
        const away = Math.abs(cableLossDb(type, mhz, HUNDRED_FEET_M) - lossDb);
        expect(away).toBeLessThan(fit55to1000.maxAbsResidualDb + 0.001);
      }
    },
  );

  // Published: worked example in a drop cable technical note (read): series 6, 750 MHz, 5.5 dB per 100 ft.
  test('series 6 at 750 MHz lies within 0.2 dB of a worked example', () => {
    const { mhz, dbPer100ft } = reference.coaxSpot;
    expect(Math.abs(cableLossDb('series6', mhz, HUNDRED_FEET_M) - dbPer100ft)).toBeLessThan(0.2);
  });

  // Published: the same note, 0.0011 per °F (read): 11.0 dB at 68 °F become 11.39 dB at 100 °F. Here 0.002 per °C (after).
  test('warms as the worked example within 0.01 dB', () => {
    const { lossDb68F, tF, lossDb } = reference.coaxTemperature.exampleF;
    expect(Math.abs(lossDb68F * cableTemperatureFactor(((tF - 32) * 5) / 9) - lossDb)).toBeLessThan(0.01);
  });

  test.each(reference.coaxTemperature.examplesC)(
    '$lossDb20C dB at 20 °C are $lossDb dB at $tC °C',
    (example) => {
      const model = { a: example.lossDb20C, b: 0 };
      expect(cableLossDb(model, 1, 100, example.tC)).toBeCloseTo(example.lossDb, 9);
    },
  );

  test('grows with length in proportion, and nothing is lost in no cable', () => {
    fc.assert(
      fc.property(
        fc.constantFrom<CoaxType>('series6', 'series59', 'series11'),
        fc.double({ min: 5, max: 1002, noNaN: true }),
        fc.double({ min: 0, max: 300, noNaN: true }),
        (type, mhz, metres) => {
          expect(cableLossDb(type, mhz, 2 * metres)).toBeCloseTo(2 * cableLossDb(type, mhz, metres), 9);
        },
      ),
    );
    expect(cableLossDb('series6', 500, 0)).toBe(0);
  });

  test('refuses negative lengths and frequencies', () => {
    expect(() => cableLossDb('series6', -1, 10)).toThrow('freqMhz is -1');
    expect(() => cableLossDb('series6', 100, Number.NaN)).toThrow('lengthM is NaN');
  });
});

describe('fitCableLoss', () => {
  // Published table (after); coefficients of the reference fit computed independently.
  test.each(coaxTypes)(
    '%s: finds the coefficients of the reference fit, negative ones too',
    (_, { table, fit55to1000 }) => {
      const inBand = (table as [number, number][]).filter(([mhz]) => mhz >= 55);
      const fit = fitCableLoss(
        inBand.map(([mhz]) => mhz),
        inBand.map(([, lossDb]) => lossDb),
      )!;
      expect(fit.a).toBeCloseTo(fit55to1000.a, 4);
      expect(fit.b).toBeCloseTo(fit55to1000.b, 6);
      expect(fit.maxResidualDb).toBeCloseTo(fit55to1000.maxAbsResidualDb, 3);
    },
  );

  test('recovers a model from its own losses', () => {
    const freqMhz = [57, 300, 750, 999];
    const fit = fitCableLoss(
      freqMhz,
      freqMhz.map((mhz) => 0.7 * Math.sqrt(mhz) - 0.0003 * mhz),
    )!;
    expect(fit.a).toBeCloseTo(0.7, 10);
    expect(fit.b).toBeCloseTo(-0.0003, 10);
  });

  test('has no answer from one frequency, and refuses 0 MHz', () => {
    expect(fitCableLoss([100, 100], [5, 6])).toBeNull();
    expect(() => fitCableLoss([0, 100], [0, 6])).toThrow('freqMhz[0]');
  });
});

describe('pairLossDb', () => {
  // Published: TIA-568 cable insertion loss (after).
  test.each(Object.entries(reference.pair.types) as [PairCategory, [number, number][]][])(
    '%s agrees with the published loss of 100 m at every frequency',
    (category, table) => {
      for (const [mhz, lossDb] of table)
        expect(Math.abs(pairLossDb(category, mhz, 100) - lossDb)).toBeLessThan(0.006);
    },
  );

  test.each(reference.pair.temperature.examples)(
    'is $factor times as much at $tC °C, unscreened',
    ({ tC, factor }) => {
      const cool = pairLossDb('cat6', 100, 90);
      expect(pairLossDb('cat6', 100, 90, { temperatureC: tC }) / cool).toBeCloseTo(factor, 9);
    },
  );

  test('warms half as much when screened, and is not credited for cold', () => {
    const cool = pairLossDb('cat6A', 100, 90);
    expect(pairLossDb('cat6A', 100, 90, { temperatureC: 40, screened: true }) / cool).toBeCloseTo(1.04, 9);
    expect(pairLossDb('cat6A', 100, 90, { temperatureC: 0 })).toBe(cool);
  });

  test('refuses frequencies and temperatures that the category does not cover', () => {
    expect(() => pairLossDb('cat5e', 200, 100)).toThrow('cat5e is specified from 1 to 100 MHz');
    expect(() => pairLossDb('cat6', 100, 100, { temperatureC: 61 })).toThrow('up to 60');
  });
});
