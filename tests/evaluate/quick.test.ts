import { beforeAll, expect, test } from 'vitest';
import { type Evaluation, evaluate } from './evaluate.ts';
import { readOptions } from './options.ts';
import { summariseRow } from './summarise.ts';

/** Bounds that the engine keeps today; tighten them as it improves, never loosen them to pass. */
const MOST_FALSE_ALERTS = 1;
const LEAST_PLACED_SHARE = 0.85;
const MOST_EXTRA = 0.6;
const LONGEST_MEDIAN_DELAY_HOURS: Record<string, number> = {
  'level step 2 dB': 0.6,
  'lost channel': 0.5,
  'drift 0.3 dB/d': 44,
  'high end 0.15 dB/d': 60,
  'MER 0.2 dB/d': 44,
  'notch 0.3 dB/d': 32,
  'ripple 1.2 dB': 0.75,
};

let evaluation: Evaluation;

beforeAll(async () => {
  evaluation = await evaluate(readOptions(['--quick', '--workers', '0']), () => {});
}, 600_000);

test('no planted fault is missed', () => {
  const missed = evaluation.cases.filter(({ delayMs }) => delayMs === null);
  expect(missed.map(({ row, index }) => `${row} ${index}`)).toEqual([]);
});

test('most first alerts name the right hop, and few more follow', () => {
  const { cases } = evaluation;
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  expect(mean(cases.map(({ placed }) => placed ?? 0))).toBeGreaterThanOrEqual(LEAST_PLACED_SHARE);
  expect(mean(cases.map(({ extra }) => extra))).toBeLessThanOrEqual(MOST_EXTRA);
});

test('fault-free sites raise few alerts', () => {
  const alerts = evaluation.quiet.flatMap(({ index, alerts: told }) =>
    told.map((each) => ({ index, ...each })),
  );
  expect(alerts.slice(MOST_FALSE_ALERTS)).toEqual([]);
});

test.each(Object.entries(LONGEST_MEDIAN_DELAY_HOURS))('%s is found within %d hours', (name, hours) => {
  const row = summariseRow(evaluation.cases.filter((each) => each.row === name));
  expect(row.medianDelayMs).not.toBeNull();
  expect(row.medianDelayMs! / 3_600_000).toBeLessThanOrEqual(hours);
});
