import { expect, test } from 'vitest';
import { conclusions } from '../api/engine/engineSite.ts';
import { THIRTY_CHANNELS } from '../support/givenSite.ts';
import { withDatabase } from '../support/withDatabase.ts';
import { DAY_MS, type Feed, FROM_MS, givenHandoffSite, HOUR_MS, hourlySweeps } from './handoffSite.ts';

/** One each, so that sites and points have the same numbers. */
const [first, second] = [withDatabase(), withDatabase()];
const OFFLINE_MS = FROM_MS + 6 * DAY_MS;
const ONLINE_MS = OFFLINE_MS + 2 * DAY_MS;
const UNTIL_MS = ONLINE_MS + 2 * DAY_MS;
/** The level falls while the box is offline. */
const STEP_MS = OFFLINE_MS + 19 * HOUR_MS;

function feedAt(atMs: number): Feed {
  const levelDbmv = atMs < STEP_MS ? 20 : 17.5;
  return { levelsDbmv: new Map(THIRTY_CHANNELS.map(({ centreMhz }) => [centreMhz, levelDbmv])), lostMhz: [] };
}

const BEFORE = hourlySweeps(FROM_MS, OFFLINE_MS, feedAt);
const SPOOL = hourlySweeps(OFFLINE_MS, ONLINE_MS, feedAt);
const AFTER = hourlySweeps(ONLINE_MS, UNTIL_MS, feedAt);

test('a spool that comes two days late, newest first and twice, ends in the findings of sweeps in order', async () => {
  const inOrder = await givenHandoffSite(first, UNTIL_MS);
  await inOrder.deliver(BEFORE);
  await inOrder.acceptFirstDays();
  for (const batch of inBatches([...SPOOL, ...AFTER])) await inOrder.deliver(batch);
  const expected = await conclusions(first.pool, inOrder);
  expect(expected.findings).toMatchObject([{ kind: 'step', metric: 'level', closed_at: null }]);
  // In the middle between the last sweep before it and the first after.
  expect(expected.findings[0].onset_at.getTime()).toBe(STEP_MS - HOUR_MS / 2);

  const late = await givenHandoffSite(second, UNTIL_MS);
  await late.deliver(BEFORE);
  await late.acceptFirstDays();
  await late.deliver(AFTER);
  for (const batch of inBatches(SPOOL.toReversed())) await late.deliver(batch);
  await late.deliver(SPOOL.toReversed());
  expect(await conclusions(second.pool, late)).toEqual(expected);
});

function inBatches(sweeps: readonly unknown[]): unknown[][] {
  return Array.from({ length: Math.ceil(sweeps.length / 7) }, (_, i) => sweeps.slice(7 * i, 7 * i + 7));
}
