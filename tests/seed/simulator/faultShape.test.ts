import { describe, expect, test } from 'vitest';
import type { Fault } from '../../../seed/simulator/fault.ts';
import { createSimulator } from '../../../seed/simulator/simulator.ts';
import { DAY_MS, fault, ONSET_MS, stillBuilding } from './buildings.ts';

/** Change of each reading at a point from just before the onset to `days` after it. */
function changeOf(planted: Fault, days: number, point = 'outlet') {
  const simulator = createSimulator(stillBuilding({ faults: [planted] }));
  const before = simulator.sweep(point, ONSET_MS - 1000)!;
  const after = simulator.sweep(point, ONSET_MS + days * DAY_MS + 1000)!;
  const difference = (then: readonly (number | null)[], now: readonly (number | null)[]) =>
    now.map((value, index) => value! - then[index]!);
  return {
    freqMhz: before.freqMhz,
    levelDb: difference(before.levelDbmv, after.levelDbmv),
    merDb: difference(before.merDb!, after.merDb!),
    at(freqMhz: number) {
      const nearest = before.freqMhz.reduce(
        (best, freq, index) =>
          Math.abs(freq - freqMhz) < Math.abs(before.freqMhz[best]! - freqMhz) ? index : best,
        0,
      );
      return this.levelDb[nearest]!;
    },
  };
}

describe('a fault changes', () => {
  test('every channel alike when a splitter is changed', () => {
    const { levelDb } = changeOf(fault({ kind: 'flat' }, -3.6), 1);
    for (const change of levelDb) expect(change).toBeCloseTo(-3.6, 2);
  });

  test('the level by its rate, day by day, when an amplifier loses gain', () => {
    const drift = fault({ kind: 'flat' }, -3, 30, { hopTo: 'amplifier', end: 'exit' });
    expect(changeOf(drift, 10).at(500)).toBeCloseTo(-1, 2);
    expect(changeOf(drift, 20, 'amplifier').at(500)).toBeCloseTo(-2, 2);
    expect(changeOf(drift, 90).at(500)).toBeCloseTo(-3, 2);
    expect(changeOf(drift, 20, 'handoff').at(500)).toBe(0);
  });

  test('high channels by the square root of frequency when water is in the cable', () => {
    const change = changeOf(fault({ kind: 'cable' }, -6), 1);
    expect(change.at(999)).toBeCloseTo(-6, 1);
    expect(change.at(250)).toBeCloseTo(-3, 1);
    expect(change.at(57) / change.at(999)).toBeCloseTo(Math.sqrt(57 / 999), 2);
  });

  test('low channels most, by 6 dB an octave at last, when a contact becomes a small capacitor', () => {
    const change = changeOf(fault({ kind: 'low-end' }, -20), 1);
    expect(change.at(57)).toBeLessThan(-19);
    expect(change.at(57)).toBeGreaterThan(-20);
    expect(change.at(111)).toBeCloseTo(-14, 0);
    expect(change.at(999)).toBeGreaterThan(-1.4);
  });

  test('a narrow place only when a notch grows', () => {
    const change = changeOf(fault({ kind: 'notch', centreMhz: 447, widthMhz: 36 }, -12, 24), 12);
    expect(change.at(447)).toBeCloseTo(-6, 1);
    expect(change.at(465)).toBeCloseTo(-3, 1);
    expect(change.at(750)).toBeGreaterThan(-0.05);
  });

  test('channels in waves whose period follows from the echo’s delay', () => {
    const { freqMhz, levelDb } = changeOf(fault({ kind: 'ripple', delayNs: 20 }, 1.743), 1);
    // 20 ns is a period of 50 MHz; 1.743 dB peak to valley is 20 log(1.1 / 0.9), an echo at -20 dB.
    expect(Math.max(...levelDb) - Math.min(...levelDb)).toBeCloseTo(1.743, 1);
    const crossings = levelDb.filter((change, index) => index > 0 && change * levelDb[index - 1]! < 0).length;
    const periods = (freqMhz.at(-1)! - freqMhz[0]!) / 50;
    expect(Math.abs(crossings - 2 * periods)).toBeLessThanOrEqual(1);
  });

  test('MER by its size and no level when an amplifier makes noise', () => {
    const { levelDb, merDb } = changeOf(
      fault({ kind: 'noise' }, -4, 20, { hopTo: 'amplifier', end: 'exit' }),
      10,
    );
    for (const change of levelDb) expect(change).toBe(0);
    for (const change of merDb) expect(Math.abs(change + 2)).toBeLessThan(0.1);
  });

  test('the provider’s own side at the handoff and at every point below it', () => {
    const feedDown = fault({ kind: 'flat' }, -4, 0, 'provider');
    for (const point of ['handoff', 'amplifier', 'outlet']) {
      expect(changeOf(feedDown, 1, point).at(300)).toBeCloseTo(-4, 2);
    }
  });
});

describe('a fault', () => {
  test('that takes a channel off reports it as looked for and not found', () => {
    const planted = fault({ kind: 'channels-lost', channels: ['98'] }, 0);
    const simulator = createSimulator(stillBuilding({ faults: [planted] }));
    const sweep = simulator.sweep('outlet', ONSET_MS)!;
    expect(sweep.lostMhz).toHaveLength(1);
    expect(sweep.lostMhz[0]).toBeCloseTo(111, 1);
    const place = sweep.freqMhz.indexOf(sweep.lostMhz[0]!);
    expect([sweep.levelDbmv[place], sweep.merDb![place]]).toEqual([null, null]);
    expect(sweep.levelDbmv.filter((level) => level === null)).toHaveLength(1);
    expect(simulator.sweep('amplifier', ONSET_MS)!.lostMhz).toEqual([]);
  });

  test('that cuts the power loses every channel below it and none above', () => {
    const planted = fault({ kind: 'outage' }, 0);
    const simulator = createSimulator(stillBuilding({ faults: [planted] }));
    const { freqMhz, lostMhz, levelDbmv } = simulator.sweep('outlet', ONSET_MS)!;
    expect(lostMhz).toEqual(freqMhz);
    expect(new Set(levelDbmv)).toEqual(new Set([null]));
    expect(simulator.sweep('handoff', ONSET_MS)!.lostMhz).toEqual([]);
  });

  test('that kills the probe at the handoff silences every point', () => {
    const planted = fault({ kind: 'silence' }, 0, 0, { hopTo: 'handoff', end: 'entry' });
    const simulator = createSimulator(stillBuilding({ faults: [planted] }));
    expect(simulator.sweep('outlet', ONSET_MS - 1)).not.toBeNull();
    expect(simulator.sweep('outlet', ONSET_MS)).toBeNull();
  });

  test('that is a loose contact dips for its share of the time and recovers between', () => {
    const planted = fault({ kind: 'loose-contact', share: 0.1, spellMinutes: 20 }, -6);
    const simulator = createSimulator(stillBuilding({ faults: [planted] }));
    const whole = simulator.sweep('outlet', ONSET_MS - 1)!.levelDbmv[50]!;
    const changes = Array.from(
      { length: 2000 },
      (_, spell) => simulator.sweep('outlet', ONSET_MS + spell * 1_200_000)!.levelDbmv[50]! - whole,
    );
    const dips = changes.filter((change) => change < -5);
    expect(Math.abs(dips.length / changes.length - 0.1)).toBeLessThan(0.025);
    for (const change of changes) expect([-6, 0]).toContain(Math.round(change * 100) / 100 + 0);
  });

  test('that was repaired leaves nothing behind', () => {
    const repaired = { ...fault({ kind: 'flat' }, -3.6), endMs: ONSET_MS + 5 * DAY_MS };
    expect(changeOf(repaired, 4).at(500)).toBeCloseTo(-3.6, 2);
    expect(changeOf(repaired, 6).at(500)).toBe(0);
  });
});
