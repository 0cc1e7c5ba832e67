import { expect, test } from 'vitest';
import {
  type ClockJump,
  type ClockReading,
  createAgentClock,
  jumpBetween,
} from '../../../ingest/agent/clock.ts';

const HOUR = 3_600_000;

test('a clock that runs, is slewed or slept through has not jumped', () => {
  const before = { wallMs: 1_000_000, uptimeMs: 5_000 };
  expect(jumpBetween(before, { wallMs: 1_001_000, uptimeMs: 6_000 })).toBe(0);
  // Uptime counts sleep, so both go on by eight hours.
  expect(jumpBetween(before, { wallMs: 1_000_000 + 8 * HOUR, uptimeMs: 5_000 + 8 * HOUR })).toBe(0);
  // 0.05 % of a day is 43 s.
  expect(jumpBetween(before, { wallMs: 1_043_000 + 24 * HOUR, uptimeMs: 5_000 + 24 * HOUR })).toBe(0);
});

test('a clock that was set has jumped by as much', () => {
  const before = { wallMs: 1_000_000, uptimeMs: 5_000 };
  expect(jumpBetween(before, { wallMs: 1_001_000 + HOUR, uptimeMs: 6_000 })).toBe(HOUR);
  expect(jumpBetween(before, { wallMs: 1_001_000 - HOUR, uptimeMs: 6_000 })).toBe(-HOUR);
});

test('a jump is told once, before the time after it is given out', () => {
  const readings: ClockReading[] = [
    { wallMs: 0, uptimeMs: 1_000 },
    { wallMs: HOUR, uptimeMs: 2_000 },
    { wallMs: HOUR + 500, uptimeMs: 2_500 },
  ];
  const events: (ClockJump | number)[] = [];
  const clock = createAgentClock(
    () => readings.shift()!,
    null,
    (jump) => events.push(jump),
  );
  for (let i = 0; i < 3; i++) events.push(clock.read().wallMs);
  expect(events).toEqual([0, { uptimeMs: 2_000, deltaMs: HOUR - 1_000, wallMs: HOUR }, HOUR, HOUR + 500]);
});

test('a clock that was set while the agent was down is noticed by the time noted before', () => {
  const jumps: ClockJump[] = [];
  const since = { wallMs: 0, uptimeMs: 1_000 };
  createAgentClock(
    () => ({ wallMs: HOUR, uptimeMs: 61_000 }),
    since,
    (jump) => jumps.push(jump),
  ).read();
  expect(jumps).toMatchObject([{ deltaMs: HOUR - 60_000 }]);
});
