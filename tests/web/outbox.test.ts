import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { NewVisitResult } from '../../api/schemas/visits.ts';
import { putInOutbox, sendOutbox, takeOutOfOutbox, waitingResults } from '../../web/offline/outbox.ts';

const ADA = 'ada@levelkeep.test';
const answers: (number | 'away')[] = [];
const posted: string[] = [];

function waiting(resultId: string, by = ADA) {
  const result: NewVisitResult = {
    resultId,
    pointId: 4,
    outcome: 'repaired',
    beganAt: '2026-03-09T09:00:00Z',
    doneAt: '2026-03-09T10:00:00Z',
  };
  return { siteId: 2, result, by, refusal: null };
}
const idsOf = (by: string) => waitingResults(by).map(({ result }) => result.resultId);

beforeEach(() => {
  const kept = new Map<string, string>();
  vi.stubGlobal('localStorage', {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => void kept.set(key, value),
    removeItem: (key: string) => void kept.delete(key),
  });
  vi.stubGlobal('fetch', async (_path: string, init: RequestInit) => {
    const answer = answers.shift() ?? 204;
    if (answer === 'away') throw new TypeError('no network');
    posted.push((JSON.parse(init.body as string) as NewVisitResult).resultId);
    const error = { code: 'x', message: 'point: this site has none', action: 'choose another' };
    return answer === 204
      ? new Response(null, { status: 204 })
      : new Response(JSON.stringify({ error }), { status: answer });
  });
  answers.length = 0;
  posted.length = 0;
});
afterEach(() => vi.unstubAllGlobals());

test('results leave in the order they were typed, once the server has kept them', async () => {
  for (const id of ['a', 'b']) expect(putInOutbox(waiting(id))).toBe(true);
  expect(await sendOutbox(ADA)).toBe(true);
  expect(posted).toEqual(['a', 'b']);
  expect(idsOf(ADA)).toEqual([]);
});

test.each(['away', 401, 503] as const)('nothing is lost when the server is %s', async (answer) => {
  for (const id of ['a', 'b']) putInOutbox(waiting(id));
  answers.push(answer);
  expect(await sendOutbox(ADA)).toBe(false);
  expect(waitingResults(ADA).map(({ refusal }) => refusal)).toEqual([null, null]);
});

test('one that the server refuses stays with the reason, and holds up no other', async () => {
  for (const id of ['a', 'b']) putInOutbox(waiting(id));
  answers.push(422);
  expect(await sendOutbox(ADA)).toBe(true);
  expect(waitingResults(ADA)).toMatchObject([
    { result: { resultId: 'a' }, refusal: 'point: this site has none. What to do: choose another' },
  ]);
  takeOutOfOutbox('a');
  expect(idsOf(ADA)).toEqual([]);
});

test('nobody sends what another person typed', async () => {
  putInOutbox(waiting('a', 'bo@levelkeep.test'));
  expect(await sendOutbox(ADA)).toBe(false);
  expect(idsOf('bo@levelkeep.test')).toEqual(['a']);
});

test('a device that keeps nothing says so', () => {
  vi.stubGlobal('localStorage', {
    getItem: () => null,
    setItem: () => {
      throw new DOMException('full', 'QuotaExceededError');
    },
  });
  expect(putInOutbox(waiting('a'))).toBe(false);
});
