import { expect, test } from 'vitest';
import { createRunner, type RunnerProbe } from '../../../ingest/agent/schedule/runner.ts';
import type { Taking } from '../../../ingest/agent/source.ts';
import { ProbeError } from '../../../ingest/probe/probeError.ts';
import { createSchedule } from '../../../ingest/schedule/schedule.ts';
import { readingAt } from './readings.ts';

const NOON = Date.parse('2026-03-01T12:00:00Z');
const MINUTE = 60_000;
const never = new AbortController().signal;

function probeAt(point: string, changes: Partial<RunnerProbe> = {}, place = 0): RunnerProbe {
  const rule = { kind: 'every', intervalMs: 15 * MINUTE } as const;
  return {
    point,
    driver: 'command',
    instrumentKey: point,
    schedule: createSchedule({ rule, zone: 'UTC', place, spread: 0.25 }),
    source: { read: async () => taking() },
    timeoutMs: 1_000,
    floorMs: 10_000,
    ...changes,
  };
}
const taking = (): Taking => ({ readings: [readingAt(NOON)], refused: [], settle: async () => {} });
/** Lets promises that are settled run on. */
const turn = () => new Promise((resolve) => setImmediate(resolve));

/** A runner whose clock is set by hand, and the points in the order in which they were kept. */
function setUp(probes: RunnerProbe[], atOnce = 4, fromMs = NOON + 1) {
  const time = { wallMs: fromMs, uptimeMs: 0 };
  const kept: string[] = [];
  const lines: string[] = [];
  const runner = createRunner({
    probes,
    clock: { read: () => ({ ...time }) },
    atOnce,
    keep: (point) => kept.push(point),
    say: (line) => lines.push(line),
    onChange: () => {},
  });
  const tick = async (elapsedMs: number) => {
    time.wallMs += elapsedMs;
    time.uptimeMs += elapsedMs;
    runner.tick(never);
    await turn();
  };
  return { runner, kept, lines, tick, time };
}

test('a probe is read when it is due, and not before', async () => {
  const { kept, tick, runner } = setUp([probeAt('handoff')]);
  await tick(14 * MINUTE);
  expect(kept).toEqual([]);
  await tick(MINUTE);
  expect(kept).toEqual(['handoff']);
  expect(runner.states[0]).toMatchObject({ lastError: null, missed: 0, lastSweepMs: NOON });
  await tick(1_000);
  expect(kept).toHaveLength(1);
});

test('times that were slept through are not made up for', async () => {
  const { kept, lines, tick, runner } = setUp([probeAt('handoff')]);
  await tick(8 * 60 * MINUTE + 7 * MINUTE);
  expect(kept).toEqual([]);
  expect(runner.states[0]).toMatchObject({ missed: 1, dueMs: NOON + (8 * 60 + 15) * MINUTE });
  expect(lines).toEqual([expect.stringContaining('slept through')]);
  await tick(8 * MINUTE);
  expect(kept).toEqual(['handoff']);
});

test('an instrument gives one reading at a time, with a pause between two', async () => {
  const first = Promise.withResolvers<Taking>();
  const shared = { instrumentKey: 'meter' };
  const { kept, tick } = setUp([
    probeAt('handoff', { ...shared, source: { read: () => first.promise } }),
    probeAt('riser', shared),
  ]);
  await tick(15 * MINUTE);
  expect(kept).toEqual([]);
  first.resolve(taking());
  await turn();
  await tick(1);
  expect(kept).toEqual(['handoff']);
  await tick(9_000);
  expect(kept).toEqual(['handoff']);
  await tick(1_000);
  expect(kept).toEqual(['handoff', 'riser']);
});

test('no more are read at once than is allowed', async () => {
  const pending: PromiseWithResolvers<Taking>[] = [];
  const source = {
    read: () => {
      pending.push(Promise.withResolvers());
      return pending.at(-1)!.promise;
    },
  };
  const { kept, tick } = setUp(
    ['a', 'b', 'c', 'd', 'e'].map((point) => probeAt(point, { source })),
    2,
  );
  await tick(15 * MINUTE);
  expect(pending).toHaveLength(2);
  pending[0]!.resolve(taking());
  await turn();
  await tick(100);
  expect(pending).toHaveLength(3);
  expect(kept).toEqual(['a']);
});

test('a reading that takes too long is given up in words, and its late result is not kept', async () => {
  const late = Promise.withResolvers<Taking>();
  const { kept, runner, tick } = setUp([
    probeAt('handoff', { timeoutMs: 20, source: { read: () => late.promise } }),
  ]);
  await tick(15 * MINUTE);
  await expect.poll(() => runner.states[0]!.lastError?.message).toBe('no reading within 0.02 s');
  late.resolve(taking());
  await turn();
  expect(kept).toEqual([]);
});

test('a reading that is not over when the next is due lets that one go', async () => {
  const { lines, runner, tick } = setUp([
    probeAt('handoff', { timeoutMs: 60_000, source: { read: () => new Promise(() => {}) } }),
  ]);
  await tick(15 * MINUTE);
  await tick(15 * MINUTE);
  expect(runner.states[0]!.missed).toBe(1);
  expect(lines).toEqual([expect.stringContaining('is not over')]);
});

test('a reading that fails is told with what to do, and the next one comes', async () => {
  let reads = 0;
  const source = {
    read: async () => {
      reads += 1;
      if (reads === 1) throw new ProbeError('instrument', 'the modem is silent', 'look at its plug');
      return taking();
    },
  };
  const { kept, lines, runner, tick } = setUp([probeAt('handoff', { source })]);
  await tick(15 * MINUTE);
  expect(runner.states[0]!.lastError).toMatchObject({
    message: 'the modem is silent',
    action: 'look at its plug',
  });
  expect(lines).toEqual(['handoff: the modem is silent: look at its plug']);
  await tick(15 * MINUTE);
  expect(kept).toEqual(['handoff']);
  expect(runner.states[0]!.lastError).toBe(null);
});

test('a source lets go of what it took only after that was kept', async () => {
  const events: string[] = [];
  const source = { read: async () => ({ ...taking(), settle: async () => void events.push('settled') }) };
  const { kept, tick } = setUp([probeAt('handoff', { source })]);
  kept.push = (point) => events.push(`kept ${point}`);
  await tick(15 * MINUTE);
  expect(events).toEqual(['kept handoff', 'settled']);
});

test('after the clock is set back, the next time is the next round one by the new clock', async () => {
  const { kept, runner, tick, time } = setUp([probeAt('handoff')]);
  time.wallMs -= 60 * MINUTE;
  runner.reschedule(time.wallMs);
  await tick(15 * MINUTE);
  expect(kept).toEqual(['handoff']);
});

test('a forced reading comes at once and keeps to the pause', async () => {
  const { runner, tick } = setUp([probeAt('handoff')]);
  const forced = runner.readNow(runner.states[0]!);
  await tick(1);
  expect((await forced).readings).toHaveLength(1);
  let isTaken = false;
  const again = runner.readNow(runner.states[0]!).then(() => {
    isTaken = true;
  });
  await tick(5_000);
  expect(isTaken).toBe(false);
  await tick(5_000);
  await again;
});
