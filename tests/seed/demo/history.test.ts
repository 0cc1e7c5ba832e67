import { describe, expect, test } from 'vitest';
import { historyBatches } from '../../../seed/demo/history.ts';
import { DAY_MS, historyPaces, INTERVAL_S } from '../../../seed/demo/pacing.ts';
import { demoFleet } from '../../../seed/fleet/demoFleet.ts';
import { sweepTimes } from '../../../seed/simulator/schedule.ts';
import { createSimulator } from '../../../seed/simulator/simulator.ts';

const NOW_MS = Date.UTC(2026, 2, 1, 12);
const site = demoFleet(NOW_MS).find(({ name }) => name === 'Wrenfield Primary School')!;

function historyOf(fromMs: number, toMs: number) {
  return [...historyBatches(site, createSimulator(site.simulated), historyPaces(fromMs, toMs, toMs))];
}

describe('history', () => {
  test('is swept each interval of late and more seldom before', () => {
    const times = sweepTimes(historyPaces(NOW_MS - 20 * DAY_MS, NOW_MS, NOW_MS), 0);
    expect(times.at(-1)! - times.at(-2)!).toBe(INTERVAL_S * 1000);
    expect(times[1]! - times[0]!).toBe(4 * INTERVAL_S * 1000);
  });

  test('comes in the order of time, in batches that an ingest request can hold', () => {
    const batches = historyOf(NOW_MS - 110 * DAY_MS, NOW_MS);
    const firsts = batches.map(([first]) => first!.at);
    expect(batches.length).toBeGreaterThan(1);
    expect(firsts).toEqual(firsts.toSorted());
    for (const batch of batches) expect(batch.length).toBeLessThan(2000);
  });

  test('leaves out about one sweep in twenty', () => {
    const sent = historyOf(NOW_MS - 100 * DAY_MS, NOW_MS).flat().length;
    const due =
      site.points.length * sweepTimes(historyPaces(NOW_MS - 100 * DAY_MS, NOW_MS, NOW_MS), 0).length;
    expect(Math.abs(1 - sent / due - 0.05)).toBeLessThan(0.02);
  });

  test('sent again from a later start holds the same sweeps', () => {
    const whole = historyOf(NOW_MS - 3 * DAY_MS, NOW_MS).flat();
    const rest = historyOf(NOW_MS - DAY_MS, NOW_MS).flat();
    expect(rest.length).toBeGreaterThan(20);
    expect(whole.slice(-rest.length)).toEqual(rest);
  });

  test('of a demo that rested for a year is caught up for 120 days at most', () => {
    const [first] = sweepTimes(historyPaces(NOW_MS - 365 * DAY_MS, NOW_MS, NOW_MS), 0);
    expect(NOW_MS - first!).toBeLessThanOrEqual(120 * DAY_MS);
  });
});
