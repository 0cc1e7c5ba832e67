import { describe, expect, test } from 'vitest';
import { describeSource } from '../../../api/limits/describeSource.ts';
import { levelWindow } from '../../../api/limits/levelWindow.ts';
import { limitFor } from '../../../api/limits/limitFor.ts';
import type { Limit, LimitedQuantity } from '../../../api/limits/limitSet.ts';
import { defaultLimitSet, findLimitSet, LIMIT_SETS } from '../../../api/limits/limitSets.ts';
import { qualityFloor } from '../../../api/limits/qualityFloor.ts';
import { MODULATIONS, type Modulation } from '../../../ingest/plan/channelPlan.ts';
import { dbuvToDbmv } from '../../../ingest/signal/dbuvToDbmv.ts';
import { POINT_KINDS } from '../../../ingest/store/schema.ts';
import reference from '../../reference/levelLimits.json' with { type: 'json' };

type Value = number | number[] | { upToMHz: number; dB: number }[];
const published = new Map(
  reference.items.map((item) => [item.id, { value: item.value as Value, sureness: item.sureness }]),
);

function limit(setId: string, quantity: LimitedQuantity, modulation: Modulation | null): Limit {
  return limitFor(findLimitSet(setId)!, quantity, modulation)!;
}

/** Which limit stands for which published value; the value's source and sureness are in tests/reference/levelLimits.json. */
const MINIMA: readonly [string, string, LimitedQuantity, Modulation | null][] = [
  ['fcc-min-terminal', 'fcc-analogue', 'level', 'analogue'],
  ['fcc-cn', 'fcc-analogue', 'cnr', 'analogue'],
  ['fcc-min-terminal', 'scte-40', 'level', 'analogue'],
  ['fcc-cn', 'scte-40', 'cnr', 'analogue'],
  ['scte40-cn-64qam', 'scte-40', 'mer', 'qam64'],
  ['scte40-cn-256qam', 'scte-40', 'mer', 'qam256'],
  ['ufgs-cn', 'federal-guide', 'cnr', 'analogue'],
  ['handoff-mer', 'distribution-input', 'mer', 'qam64'],
  ['handoff-mer', 'distribution-input', 'mer', 'qam256'],
];
const MAXIMA: readonly [string, string, LimitedQuantity, Modulation | null][] = [
  ['fcc-adjacent', 'fcc-analogue', 'adjacent', 'analogue'],
  ['fcc-six-month-variation', 'fcc-analogue', 'variation-6-months', 'analogue'],
  ['ufgs-adjacent', 'federal-guide', 'adjacent', null],
  ['ufgs-all-channels', 'federal-guide', 'spread', null],
  ['ufgs-stability-1h', 'federal-guide', 'stability-1h', null],
  ['ufgs-stability-24h', 'federal-guide', 'stability-24h', null],
];
const WINDOWS: readonly [string, string, Modulation | null, 'dBmV' | 'dBuV'][] = [
  ['scte40-level-64qam', 'scte-40', 'qam64', 'dBmV'],
  ['scte40-level-256qam', 'scte-40', 'qam256', 'dBmV'],
  ['docsis-level-digital', 'scte-40', 'ofdm', 'dBmV'],
  ['ufgs-receiver-input', 'federal-guide', null, 'dBmV'],
  ['handoff-analogue', 'distribution-input', 'analogue', 'dBmV'],
  ['en60728-am-tv', 'iec-60728-1', 'analogue', 'dBuV'],
  ['en60728-64qam', 'iec-60728-1', 'qam64', 'dBuV'],
  ['en60728-256qam', 'iec-60728-1', 'qam256', 'dBuV'],
];

describe('limit sets', () => {
  test.each(MINIMA)(
    '%s is the minimum in %s for %s of %s, as sure as published',
    (id, set, quantity, modulation) => {
      expect(limit(set, quantity, modulation)).toMatchObject({
        min: published.get(id)!.value,
        sureness: published.get(id)!.sureness,
      });
    },
  );

  test.each(MAXIMA)(
    '%s is the maximum in %s for %s of %s, as sure as published',
    (id, set, quantity, modulation) => {
      expect(limit(set, quantity, modulation)).toMatchObject({
        max: published.get(id)!.value,
        sureness: published.get(id)!.sureness,
      });
    },
  );

  test.each(WINDOWS)(
    '%s is the level window in %s for %s, published in %4$s',
    (id, set, modulation, unit) => {
      const [min, max] = (published.get(id)!.value as number[]).map((value) =>
        unit === 'dBuV' ? dbuvToDbmv(value) : value,
      );
      expect(limit(set, 'level', modulation)).toMatchObject({
        min,
        max,
        sureness: published.get(id)!.sureness,
      });
    },
  );

  test('the spread allowed by 47 CFR 76.605 grows with the highest channel as published', () => {
    const steps = published.get('fcc-any-channel')!.value as { upToMHz: number; dB: number }[];
    expect(limit('fcc-analogue', 'spread', 'analogue').maxByTopMhz).toEqual(
      steps.map(({ upToMHz, dB }) => ({ upToMhz: upToMHz, max: dB })),
    );
    expect(limit('fcc-analogue', 'spread', 'analogue').sureness).toBe('after');
  });

  test('the distribution input aims at a flat 20 dBmV for digital and the middle of the window for analogue', () => {
    const set = findLimitSet('distribution-input')!;
    expect(levelWindow(set, 'qam256').target).toBe(published.get('handoff-digital')!.value);
    expect(levelWindow(set, 'analogue').target).toBe(25);
    expect(limitFor(set, 'tilt', null)).toMatchObject({ target: 0, sureness: 'practice' });
  });

  test('every kind of point has exactly one default', () => {
    for (const kind of POINT_KINDS) {
      expect(LIMIT_SETS.filter(({ defaultFor }) => defaultFor.includes(kind)).length).toBe(1);
      expect(defaultLimitSet(kind).defaultFor).toContain(kind);
    }
  });

  test('every default set asks for a MER or CNR of its own for every modulation', () => {
    for (const kind of POINT_KINDS) {
      for (const modulation of MODULATIONS) {
        const quantity = modulation === 'analogue' ? 'cnr' : 'mer';
        expect(
          limitFor(defaultLimitSet(kind), quantity, modulation)?.min,
          `${kind} ${modulation}`,
        ).toBeGreaterThan(0);
      }
    }
  });

  test('every set has one limit for each quantity and modulation, with a side and a source', () => {
    for (const set of LIMIT_SETS) {
      const keys = set.limits.map(({ quantity, modulation }) => `${quantity} ${modulation}`);
      expect(new Set(keys).size, set.id).toBe(keys.length);
      for (const { min, max, maxByTopMhz, source, unit, quantity } of set.limits) {
        expect(min !== undefined || max !== undefined || maxByTopMhz !== undefined).toBe(true);
        expect(source).not.toBe('');
        expect(unit).toBe(quantity === 'level' ? 'dBmV' : 'dB');
      }
    }
  });

  test('limits of effect "service" are level windows and MER or CNR only', () => {
    const service = LIMIT_SETS.flatMap(({ limits }) => limits).filter(({ effect }) => effect === 'service');
    expect(new Set(service.map(({ quantity }) => quantity))).toEqual(new Set(['level', 'mer', 'cnr']));
  });
});

describe('describeSource', () => {
  test('says "after" of a standard that was not open, and never quotes practice as a source', () => {
    const at = (set: string, quantity: LimitedQuantity, modulation: Modulation | null): string =>
      describeSource(limit(set, quantity, modulation));
    expect(at('scte-40', 'mer', 'qam256')).toBe(
      'after ANSI/SCTE 40, RF transmission table, to be confirmed against the current text',
    );
    expect(at('federal-guide', 'level', null)).toBe('UFGS-16785A, Table IIa, page 11');
    expect(at('iec-60728-1', 'level', 'qam64')).toBe('EN/IEC 60728-1, system outlet, as quoted elsewhere');
    expect(at('distribution-input', 'tilt', null)).toBe('common practice, no source (distribution input)');
  });
});

describe('qualityFloor', () => {
  const guide = findLimitSet('federal-guide')!;

  // Published: DOCSIS RF interface, receiver at post-FEC 1e-8 (after).
  test('falls back to what receivers need where the set is silent, and says so in its source', () => {
    expect(qualityFloor(guide, 'qam64')).toMatchObject({ quantity: 'mer', min: 23.5, sureness: 'after' });
    expect(qualityFloor(guide, 'qam256')).toMatchObject({ quantity: 'mer', min: 30, sureness: 'after' });
    expect(describeSource(qualityFloor(guide, 'qam256')!)).toContain('after DOCSIS RF interface');
  });

  test('counts analogue channels by CNR and digital ones by MER', () => {
    expect(qualityFloor(guide, 'analogue')).toMatchObject({ quantity: 'cnr', min: 45 });
    expect(qualityFloor(findLimitSet('scte-40')!, 'qam256')).toMatchObject({ quantity: 'mer', min: 33 });
  });

  test('has no floor for a carrier outside the plan', () => {
    expect(qualityFloor(guide, null)).toBeNull();
  });
});
