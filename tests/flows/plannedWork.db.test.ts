import { beforeEach, expect, test } from 'vitest';
import type { MaintenanceWindow, NewWindow } from '../../api/schemas/maintenance.ts';
import type { NewPlanVersion, PlanView } from '../../api/schemas/plans.ts';
import type { PlannedChannel } from '../../ingest/plan/channelPlan.ts';
import { ok } from '../support/answers.ts';
import { givenRule, givenTarget } from '../support/givenAlerts.ts';
import { givenPlan, THIRTY_CHANNELS } from '../support/givenSite.ts';
import { withApp } from '../support/testApp.ts';
import { givenServerAtWork, type ServerAtWork } from './serverAtWork.ts';
import {
  acceptBaselines,
  boxSends,
  givenSweptBuilding,
  type LevelAt,
  type SweptBuilding,
  WELL_DBMV,
} from './sweptBuilding.ts';

const levelkeep = withApp();
const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
const FROM_MS = Date.parse('2026-03-02T06:00:00Z');
const ACCEPTED_MS = FROM_MS + 2 * DAY_MS;
const PLANNED_MS = ACCEPTED_MS + DAY_MS;
const SWEPT_EVERY_MS = 2 * HOUR_MS;

const EVERYTHING = {
  siteIds: null,
  providerIds: null,
  kind: null,
  severityAtLeast: 'warning',
  side: null,
  daysLeftUnder: null,
} as const;

let server: ServerAtWork;
let building: SweptBuilding;
let planId: number;

beforeEach(async () => {
  const { db } = levelkeep;
  levelkeep.nowMs = FROM_MS;
  server = await givenServerAtWork(levelkeep);
  planId = await givenPlan(db);
  building = await givenSweptBuilding(levelkeep, { name: 'Mill House', plan_id: planId }, SWEPT_EVERY_MS);
  const steps = [{ afterMin: 0, targetIds: [await givenTarget(db, 'Rosa')] }];
  // Those of the tests before are silent by now.
  await givenRule(db, FROM_MS, { about: { ...EVERYTHING, siteIds: [building.siteId] }, steps });
});

/** A channel moves up the band, one leaves, one comes. */
const NEW_LINE_UP: readonly PlannedChannel[] = [
  ...THIRTY_CHANNELS.filter(({ channel }) => channel !== '6').map((channel) =>
    channel.channel === '10' ? { ...channel, centreMhz: 309 } : channel,
  ),
  { channel: '40', centreMhz: 291, widthMhz: 6, modulation: 'qam256', services: [] },
];
/** What the box looks for, before and after. */
const LOOKED_FOR_MHZ = [
  ...new Set([...THIRTY_CHANNELS, ...NEW_LINE_UP].map(({ centreMhz }) => centreMhz)),
].toSorted((a, b) => a - b);

/** The provider changes the line-up on the day. */
const lineUpAt: LevelAt = (point, mhz, atMs) => {
  const lineUp = atMs < PLANNED_MS ? THIRTY_CHANNELS : NEW_LINE_UP;
  return lineUp.some(({ centreMhz }) => centreMhz === mhz) ? WELL_DBMV[point]! : null;
};

/** The riser amplifier is replaced: 4 dB less below it for six hours, and no signal at all at the end of them. */
const worksAt: LevelAt = (point, _, atMs) => {
  const hours = (atMs - PLANNED_MS) / HOUR_MS;
  if (point === 'handoff' || hours < 0 || hours >= 6) return WELL_DBMV[point]!;
  return hours < 4 ? WELL_DBMV[point]! - 4 : null;
};

function runUntil(untilMs: number, levelAt: LevelAt): Promise<void> {
  return server.runUntil(untilMs, SWEPT_EVERY_MS, (atMs) =>
    boxSends(levelkeep, building, [atMs], levelAt, LOOKED_FOR_MHZ),
  );
}

const findings = () =>
  levelkeep.db
    .selectFrom('finding')
    .select(['kind', 'metric', 'point_id'])
    .where('site_id', '=', building.siteId)
    .orderBy('event')
    .execute();
const alertsRaised = () =>
  levelkeep.db
    .selectFrom('alert')
    .selectAll()
    .where('site_id', '=', building.siteId)
    .orderBy('alert_id')
    .execute();

async function planLineUp(): Promise<void> {
  const version: NewPlanVersion = {
    effectiveFrom: new Date(PLANNED_MS).toISOString(),
    note: 'news from the provider',
    channels: NEW_LINE_UP.map((channel) => ({ ...channel, services: [...channel.services] })),
  };
  await ok<PlanView>(await levelkeep.send('manager', 'POST', `/api/plans/${planId}/versions`, version));
}

async function planWork(): Promise<void> {
  const window: NewWindow = {
    scope: 'site',
    scopeId: building.siteId,
    fromAt: new Date(PLANNED_MS - HOUR_MS).toISOString(),
    toAt: new Date(PLANNED_MS + 7 * HOUR_MS).toISOString(),
    reason: 'the riser amplifier is replaced',
    effect: 'levels fall, then no signal',
  };
  await ok<MaintenanceWindow>(await levelkeep.send('manager', 'POST', '/api/maintenance', window));
}

test.each([
  { what: 'a line-up change with a plan version of that date', plan: planLineUp, levelAt: lineUpAt },
  { what: 'a fall and a loss inside a maintenance window', plan: planWork, levelAt: worksAt },
])('$what raise no finding, no alert and no message', async ({ plan, levelAt }) => {
  await runUntil(ACCEPTED_MS, levelAt);
  await acceptBaselines(levelkeep, building, FROM_MS, ACCEPTED_MS - 1);
  await runUntil(PLANNED_MS - 4 * HOUR_MS, levelAt);
  await plan();
  await runUntil(PLANNED_MS + 3 * DAY_MS, levelAt);

  expect(await findings()).toEqual([]);
  expect(await alertsRaised()).toEqual([]);
  expect(server.subjects()).toEqual([]);
});

test.each([
  { what: 'line-up change', levelAt: lineUpAt, kinds: ['channel-lost'], titles: [/^Channels 10 and 6 lost/] },
  {
    what: 'fall and loss',
    levelAt: worksAt,
    kinds: ['step', 'outage'],
    titles: [
      /^Level fell [34]\.\d dB .* between handoff and riser$/,
      /^No signal .* between handoff and riser$/,
    ],
  },
])('the same $what that nobody planned is found, and told by e-mail', async ({ levelAt, kinds, titles }) => {
  await runUntil(ACCEPTED_MS, levelAt);
  await acceptBaselines(levelkeep, building, FROM_MS, ACCEPTED_MS - 1);
  await runUntil(PLANNED_MS + DAY_MS, levelAt);
  expect([...new Set((await findings()).map(({ kind }) => kind))]).toEqual(kinds);
  const raised = (await alertsRaised()).map(({ title }) => title);
  expect(raised).toEqual(titles.map((title) => expect.stringMatching(title)));
  const told = server.subjects().filter((subject) => !subject!.startsWith('Back to normal'));
  expect(told).toHaveLength(titles.length);
});
