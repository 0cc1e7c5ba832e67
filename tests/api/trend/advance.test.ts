import { expect, test, vi } from 'vitest';
import { advance } from '../../../api/trend/advance.ts';
import { emptyState } from '../../../api/trend/state.ts';
import { DAY_MS, type Finding, HOUR_MS } from '../../../api/trend/types.ts';
import { observations, REFERENCE, START_MS, simulatePoint } from './simulatePoint.ts';

vi.setConfig({ testTimeout: 30_000 });

const after = (findings: readonly Finding[], day: number) =>
  findings.filter(({ detectedMs }) => detectedMs >= START_MS + day * DAY_MS);

test('a fault-free point whose cable runs through a hot ceiling stays quiet for months', () => {
  // Two false findings at most in 1.3 point-years: a deaf engine would pass with none, a nervous one has dozens.
  const all = [41, 42, 43, 44].flatMap((seed) => after(simulatePoint({ seed, days: 120 }).findings, 14));
  expect(all.length).toBeLessThanOrEqual(2);
}, 60_000);

test('the temperature coefficient is learnt from the days', () => {
  const { state } = simulatePoint({ seed: 2, days: 25, dbPerDegree: 0.06 });
  expect(state.metrics.level.perDegree).toBeCloseTo(-0.06, 2);
  expect(state.metrics.tilt.perDegree).toBeCloseTo(-0.03, 2);
});

test('a swing that nothing explains raises no finding once the day is known', () => {
  const { findings } = simulatePoint({ seed: 3, days: 120, ambient: false });
  expect(after(findings, 1)).toEqual([]);
});

test.each([
  ['15 minutes', 96, 1.5],
  ['an hour', 24, 5],
  ['four hours', 6, 17],
] as const)('a step of 1 dB in sweeps every %s is found, dated and measured', (_, aDay, mostHours) => {
  for (const seed of [11, 12, 13, 14]) {
    const onsetDay = 30.37;
    const { findings: all } = simulatePoint({
      seed,
      days: 40,
      intervalMs: DAY_MS / aDay,
      levelFault: (day) => (day >= onsetDay ? -1 : 0),
    });
    const findings = after(all, 14);
    expect(findings).toHaveLength(1);
    const [step] = findings as [Finding];
    expect(step).toMatchObject({ kind: 'step', metric: 'level', closedMs: null });
    expect((step.detectedMs - START_MS - onsetDay * DAY_MS) / HOUR_MS).toBeLessThan(mostHours);
    expect(Math.abs(step.onsetMs - START_MS - onsetDay * DAY_MS)).toBeLessThan((3 * DAY_MS) / aDay);
    expect(Math.abs(step.sizeDb + 1)).toBeLessThan(0.2);
    expect(step.sizeLowDb).toBeLessThan(step.sizeDb);
    expect(step.sizeHighDb).toBeGreaterThan(step.sizeDb);
  }
});

test('a step that goes back closes its finding, and opens no other', () => {
  const { findings } = simulatePoint({
    seed: 21,
    days: 45,
    levelFault: (day) => (day >= 30 && day < 33 ? -3 : 0),
  });
  expect(findings).toHaveLength(1);
  expect(Math.abs(findings[0]!.closedMs! - START_MS - 33 * DAY_MS)).toBeLessThan(2 * HOUR_MS);
});

test('a loose contact that comes and goes within a day is one finding', () => {
  const { findings } = simulatePoint({
    seed: 22,
    days: 45,
    levelFault: (day) => (day >= 30 && day < 32 && day % 0.25 < 0.1 ? -6 : 0),
  });
  expect(findings).toHaveLength(1);
  expect(findings[0]!.evidence['times']).toBeGreaterThan(3);
});

test('level, tilt and margin that step together are one finding which names all three', () => {
  const fault = (day: number) => (day >= 30 ? -3 : 0);
  const { findings } = simulatePoint({
    seed: 23,
    days: 40,
    levelFault: fault,
    tiltFault: fault,
    merFault: fault,
  });
  expect(findings).toHaveLength(1);
  const also = Object.keys(findings[0]!.evidence['alsoDb'] as object);
  expect([findings[0]!.metric, ...also].sort()).toEqual(['level', 'mer', 'tilt']);
});

test.each([0.05, 0.1, 0.3])(
  'a drift of %s dB a day is one finding with onset, slope and forecast',
  (rate) => {
    const { findings } = simulatePoint({
      seed: 31,
      days: 60,
      levelFault: (day) => -rate * Math.max(0, day - 35),
    });
    const [drift] = findings as [Finding];
    expect(findings).toHaveLength(1);
    expect(drift).toMatchObject({ kind: 'drift', metric: 'level', closedMs: null, limitName: 'level' });
    expect((drift.detectedMs - START_MS) / DAY_MS - 35).toBeLessThan(15);
    expect(Math.abs((drift.onsetMs - START_MS) / DAY_MS - 35)).toBeLessThan(3);
    expect(drift.slopeDbPerDay! / -rate).toBeCloseTo(1, 0.5);
    const daysLeft = Math.max(0, (5 - rate * 24.5) / rate);
    expect(Math.abs(drift.daysToLimit!.p50 - daysLeft)).toBeLessThan(0.25 * daysLeft + 6);
    expect(drift.daysToLimit!.p10).toBeLessThanOrEqual(drift.daysToLimit!.p50);
    expect(drift.daysToLimit!.p90).toBeGreaterThanOrEqual(drift.daysToLimit!.p50);
  },
);

test('a falling MER margin is a drift of mer', () => {
  const { findings } = simulatePoint({ seed: 32, days: 60, merFault: (day) => -0.1 * Math.max(0, day - 30) });
  expect(findings).toMatchObject([{ kind: 'drift', metric: 'mer' }]);
});

test('the level after a step is no drift, and a repair closes a drift', () => {
  const { findings } = simulatePoint({
    seed: 33,
    days: 70,
    levelFault: (day) => (day < 30 ? 0 : day < 50 ? -0.1 * (day - 30) : 0),
  });
  expect(findings).toHaveLength(1);
  expect(Math.abs(findings[0]!.closedMs! - START_MS - 50 * DAY_MS)).toBeLessThan(DAY_MS);
});

test('a new instrument with a bias is an event with its offset and no fault', () => {
  const { findings } = simulatePoint({
    seed: 34,
    days: 50,
    instrument: (day) => (day < 30 ? { id: 'probe-1', biasDb: 0 } : { id: 'meter-2', biasDb: 1.4 }),
  });
  expect(findings).toMatchObject([{ kind: 'instrument-change', evidence: { instrument: 'meter-2' } }]);
  expect(findings[0]!.sizeDb).toBeCloseTo(1.4, 0.8);
});

test('a lost channel is found in two sweeps and closes when it is back', () => {
  const { findings } = simulatePoint({
    seed: 35,
    days: 30,
    lost: (day) => (day >= 20 && day < 21 ? ['7', '8'] : []),
  });
  expect(findings).toMatchObject([
    { kind: 'channel-lost', metric: 'channels', evidence: { channels: ['7', '8'] } },
  ]);
  expect(findings[0]!.detectedMs - START_MS - 20 * DAY_MS).toBeLessThan(HOUR_MS);
  expect(findings[0]!.closedMs).not.toBeNull();
});

test('a channel missing from one sweep only is nothing', () => {
  const { findings } = simulatePoint({
    seed: 36,
    days: 30,
    missingShare: 0,
    lost: (day) => (Math.round(day * 96) === 960 ? ['7'] : []),
  });
  expect(findings).toEqual([]);
});

test('a lost feed is one outage, whatever else it takes along', () => {
  const { findings } = simulatePoint({ seed: 37, days: 30, feedLost: (day) => day >= 20 && day < 20.5 });
  expect(findings).toMatchObject([{ kind: 'outage', metric: 'channels' }]);
  expect(findings[0]!.closedMs).not.toBeNull();
});

test('single wild sweeps raise nothing', () => {
  const { findings } = simulatePoint({
    seed: 38,
    days: 60,
    levelFault: (day) => (Math.round(day * 96) % 200 === 7 ? 9 : 0),
  });
  expect(findings).toEqual([]);
});

test('two wild sweeps that agree are one finding, and it closes at once', () => {
  const wild = (day: number) => (day >= 30 && day < 30.02 ? 8 : 0);
  const { findings } = simulatePoint({
    seed: 44,
    days: 45,
    missingShare: 0,
    levelFault: wild,
    tiltFault: wild,
  });
  expect(findings).toHaveLength(1);
  expect(findings[0]!.closedMs! - findings[0]!.onsetMs).toBeLessThan(HOUR_MS);
});

test('the state stays a few kilobytes however long the history', () => {
  const month = JSON.stringify(simulatePoint({ seed: 39, days: 60 }).state).length;
  const year = JSON.stringify(simulatePoint({ seed: 39, days: 400 }).state).length;
  expect(year).toBeLessThan(10_000);
  expect(year / month).toBeLessThan(1.15);
});

test('going on from the stored state gives the same as going on in memory', () => {
  let stored = emptyState();
  const inMemory = emptyState();
  for (const observation of observations({ seed: 40, days: 25, levelFault: (day) => (day > 20 ? 2 : 0) })) {
    const a = advance(inMemory, observation, REFERENCE);
    const b = advance(stored, observation, REFERENCE);
    expect(b).toEqual(a);
    stored = JSON.parse(JSON.stringify(stored));
  }
  expect(stored).toEqual(JSON.parse(JSON.stringify(inMemory)));
});

test('a new baseline closes what is open and starts afresh', () => {
  const state = emptyState();
  const closed: Finding[] = [];
  for (const observation of observations({ seed: 42, days: 40, levelFault: (day) => (day >= 20 ? -3 : 0) })) {
    const day = (observation.atMs - START_MS) / DAY_MS;
    const renewed = day >= 30;
    const reference = renewed ? { ...REFERENCE, baselineVersion: 2, levelDbmv: 17 } : REFERENCE;
    const levelDevDb = renewed ? observation.levelDevDb! + 3 : observation.levelDevDb;
    for (const finding of advance(state, { ...observation, levelDevDb }, reference).changed) {
      if (finding.closedMs !== null) closed.push(finding);
    }
  }
  expect(closed).toMatchObject([{ kind: 'step', evidence: { closedBy: 'baseline 2' } }]);
  expect(state.tracked.filter(({ finding }) => finding.closedMs === null)).toEqual([]);
});

test('sweeps out of order are refused', () => {
  const [first, second] = [...observations({ seed: 43, days: 1 })];
  const state = emptyState();
  advance(state, second!, REFERENCE);
  expect(() => advance(state, first!, REFERENCE)).toThrow(RangeError);
});
