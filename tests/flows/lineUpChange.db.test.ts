import { expect, test } from 'vitest';
import type { PlannedChannel } from '../../ingest/plan/channelPlan.ts';
import { announceChange } from '../../ingest/store/announceChange.ts';
import { conclusions } from '../api/engine/engineSite.ts';
import { givenPlanVersion, THIRTY_CHANNELS } from '../support/givenSite.ts';
import { withDatabase } from '../support/withDatabase.ts';
import { DAY_MS, type Feed, FROM_MS, givenHandoffSite, hourlySweeps } from './handoffSite.ts';

const database = withDatabase();
const CHANGE_MS = FROM_MS + 10 * DAY_MS;
const UNTIL_MS = FROM_MS + 24 * DAY_MS;
const QAM64_DB = -6;

/** Channels 5, 6 and 30 go, 40 and 41 come, 10 moves up the band, 12 becomes 64-QAM, which is carried 6 dB lower. */
const NEW_LINE_UP: readonly PlannedChannel[] = [
  ...THIRTY_CHANNELS.filter(({ channel }) => !['5', '6', '30'].includes(channel)).map(changed),
  { channel: '40', centreMhz: 291, widthMhz: 6, modulation: 'qam256', services: [] },
  { channel: '41', centreMhz: 297, widthMhz: 6, modulation: 'qam256', services: [] },
];

function changed(channel: PlannedChannel): PlannedChannel {
  if (channel.channel === '10') return { ...channel, centreMhz: 309 };
  return channel.channel === '12' ? { ...channel, modulation: 'qam64' } : channel;
}

const OLD_MHZ = THIRTY_CHANNELS.map(({ centreMhz }) => centreMhz);

/** The box goes on looking for the channels of the old line-up after the change. */
function feedAt(atMs: number): Feed {
  const lineUp = atMs < CHANGE_MS ? THIRTY_CHANNELS : NEW_LINE_UP;
  const levelsDbmv = new Map(
    lineUp.map(({ centreMhz, modulation }) => [centreMhz, modulation === 'qam64' ? 20 + QAM64_DB : 20]),
  );
  return { levelsDbmv, lostMhz: OLD_MHZ.filter((mhz) => !levelsDbmv.has(mhz)) };
}

test('a line-up change that was planned raises no finding', async () => {
  const site = await givenHandoffSite(database, UNTIL_MS);
  await givenPlanVersion(database.db, site.planId, CHANGE_MS, NEW_LINE_UP);
  await site.deliver(hourlySweeps(FROM_MS, CHANGE_MS, feedAt));
  await site.acceptFirstDays();
  await site.deliver(hourlySweeps(CHANGE_MS, UNTIL_MS, feedAt));

  const { findings, hours } = await conclusions(database.pool, site);
  expect(findings).toEqual([]);
  expect(hours.at(-1).hour.getTime()).toBe(UNTIL_MS - DAY_MS / 24);
  expect(Math.abs(hours.at(-1).level_dev_db)).toBeLessThan(0.5);
});

test('the same change without a plan is found, and taken back once the plan is entered after the fact', async () => {
  const site = await givenHandoffSite(database, UNTIL_MS);
  await site.deliver(hourlySweeps(FROM_MS, CHANGE_MS, feedAt));
  await site.acceptFirstDays();
  await site.deliver(hourlySweeps(CHANGE_MS, UNTIL_MS, feedAt));
  const { findings } = await conclusions(database.pool, site);
  expect(findings.map(({ kind }) => kind)).toContain('channel-lost');

  await givenPlanVersion(database.db, site.planId, CHANGE_MS, NEW_LINE_UP);
  await announceChange(database.db, site.siteId, site.pointIds, CHANGE_MS);
  await site.deliver([]);
  expect((await conclusions(database.pool, site)).findings).toEqual([]);
});
