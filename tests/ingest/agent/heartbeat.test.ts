import { expect, test } from 'vitest';
import { createHeartbeat } from '../../../ingest/agent/heartbeat.ts';
import { ProbeError } from '../../../ingest/probe/probeError.ts';
import { givenReport } from '../../api/punctuality/givenReadings.ts';

const MINUTE = 60_000;
const never = new AbortController().signal;

/** A heartbeat on a clock of the test's own; `answers` are given in turn. */
function givenHeartbeat(...answers: (boolean | Error)[]) {
  const state = { uptimeMs: 0, sent: 0 };
  const heartbeat = createHeartbeat({
    uptimeMs: () => state.uptimeMs,
    async send() {
      const answer = answers[state.sent++] ?? true;
      if (typeof answer !== 'boolean') throw answer;
      return answer;
    },
  });
  const beatAt = async (uptimeMs: number, mark = '') => {
    state.uptimeMs = uptimeMs;
    await heartbeat.beat(() => givenReport(0).report, mark, never);
    return state.sent;
  };
  return beatAt;
}

test('a heartbeat goes out at once and every five minutes', async () => {
  const beatAt = givenHeartbeat();
  expect(await beatAt(0)).toBe(1);
  expect(await beatAt(4.9 * MINUTE)).toBe(1);
  expect(await beatAt(5 * MINUTE)).toBe(2);
});

test('what changes is told soon, and not with every sweep', async () => {
  const beatAt = givenHeartbeat();
  await beatAt(0, 'a');
  expect(await beatAt(10_000, 'b')).toBe(1);
  expect(await beatAt(31_000, 'b')).toBe(2);
  expect(await beatAt(62_000, 'b')).toBe(2);
});

test('a heartbeat that fails is let go until the next is due', async () => {
  const beatAt = givenHeartbeat(new ProbeError('unavailable', 'the server is away', 'wait'));
  expect(await beatAt(0)).toBe(1);
  expect(await beatAt(MINUTE)).toBe(1);
  expect(await beatAt(5 * MINUTE)).toBe(2);
});

test('an older server that knows no heartbeats is left in peace for an hour', async () => {
  const beatAt = givenHeartbeat(false);
  expect(await beatAt(0, 'a')).toBe(1);
  expect(await beatAt(50 * MINUTE, 'b')).toBe(1);
  expect(await beatAt(61 * MINUTE, 'b')).toBe(2);
});
