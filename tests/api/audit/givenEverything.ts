import { randomUUID } from 'node:crypto';
import { issueToken } from '../../../api/accounts/automationTokens.ts';
import { inviteLink } from '../../../api/accounts/invitations.ts';
import { logComplaint } from '../../../api/complaints/logComplaint.ts';
import { addCalibration } from '../../../api/instruments/instruments.ts';
import { addWindow } from '../../../api/maintenance/windows.ts';
import { addTest } from '../../../api/notify/deliveries.ts';
import { addTarget } from '../../../api/notify/targetChanges.ts';
import { findTarget } from '../../../api/notify/targets.ts';
import { NewComplaintSchema } from '../../../api/schemas/complaints.ts';
import { NewVisitDaySchema } from '../../../api/schemas/visits.ts';
import { keepDay } from '../../../api/visits/keepDay.ts';
import type { Db } from '../../../ingest/store/database.ts';
import { issueSiteKey } from '../../../ingest/store/siteKeys.ts';
import { givenRule, givenTarget } from '../../support/givenAlerts.ts';
import { givenRaisedAlert } from '../../support/givenRaisedAlert.ts';
import {
  aSweep,
  givenPlan,
  givenPlanVersion,
  givenPoint,
  givenSite,
  givenSweeps,
  THIRTY_CHANNELS,
} from '../../support/givenSite.ts';
import { addTestPerson, ORIGIN, PASSWORD, SECRET, type TestApp } from '../../support/testApp.ts';
import { givenProbe } from '../probes/givenProbe.ts';
import type { Given } from './changeCalls.ts';

const START = Date.parse('2026-03-01T00:00:00Z');
const QUARTER_MS = 900_000;
const HOUR_MS = 3_600_000;
const iso = (ms: number) => new Date(ms).toISOString();

/** One thing of each kind that can be changed, and the secrets that went into them. */
export async function givenEverything(
  levelkeep: TestApp,
): Promise<{ readonly given: Given; readonly secrets: string[] }> {
  const { db } = levelkeep;
  const nowMs = Date.now();
  const site = await givenSiteParts(db);
  const { siteId } = site;
  const key = await issueSiteKey(db, { siteId, label: 'old box', createdBy: 'Ada' });
  const token = { label: 'old', role: 'viewer', expiresAt: null, createdBy: 'Ada' } as const;
  const invited = await inviteLink(db, 'ivo@quillhaven.example', 'viewer', 'Ada', nowMs);
  const linkToken = invited.path.split('#')[1]!;
  const probe = await givenProbe(db, nowMs, { secrets: { community: 'quiet words' } }, siteId);
  const told = await givenTold(db, nowMs);
  await addTestPerson(levelkeep, 'boss@quillhaven.example', 'administrator');
  const day = { technician: 'Ada', timeZone: 'America/Chicago', siteIds: [siteId] };
  const hours = { from: iso(nowMs + HOUR_MS), to: iso(nowMs + 9 * HOUR_MS) };
  const given: Given = {
    ...site,
    ...told,
    keyId: key.keyId,
    tokenId: (await issueToken(db, token)).tokenId,
    accountId: await addTestPerson(levelkeep, 'staying@quillhaven.example', 'viewer'),
    leavingId: await addTestPerson(levelkeep, 'leaving@quillhaven.example', 'viewer'),
    invitationId: (await inviteLink(db, 'gone@quillhaven.example', 'viewer', 'Ada', nowMs)).linkId,
    linkToken,
    probeId: probe.probeId,
    probePointId: probe.pointId,
    dayId: await keepDay(db, NewVisitDaySchema.parse({ ...day, ...hours }), 'Ada', nowMs),
    dayHours: hours,
    resultId: randomUUID(),
    from: iso(START),
    to: iso(START + 3 * QUARTER_MS),
  };
  return { given, secrets: [linkToken, PASSWORD, 'quiet words', 'quiet-path'] };
}

async function givenSiteParts(db: Db) {
  const planId = await givenPlan(db);
  const changingPlanId = await givenPlan(db);
  await givenPlanVersion(db, changingPlanId, Date.parse('2999-01-01T00:00:00Z'), THIRTY_CHANNELS);
  const siteId = await givenSite(db, { plan_id: planId });
  const pointId = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
  const bareId = await givenPoint(db, siteId, { name: 'floor-1', fed_by: pointId });
  const sweeps = [0, 1, 2, 3].map((i) => aSweep(START + i * QUARTER_MS));
  await givenSweeps(db, siteId, pointId, sweeps);
  await db.insertInto('instrument').values({ site_id: siteId, name: 'probe-7' }).execute();
  const { provider_id: providerId } = await db
    .insertInto('provider')
    .values({ name: 'Bayline' })
    .returning('provider_id')
    .executeTakeFirstOrThrow();
  const by = { by: 'Ada', nowMs: Date.now() };
  const calibration = { calibratedAt: iso(START), dueAt: null, uncertaintyDb: 0.5, certificate: 'C 12' };
  const complaint = NewComplaintSchema.parse({ symptom: 'breaks-up', outlet: 'flat 9' });
  const window = { scope: 'site', scopeId: siteId, reason: 'new amplifier', effect: 'no signal' } as const;
  const times = { fromAt: iso(START), toAt: iso(START + HOUR_MS) };
  return {
    planId,
    changingPlanId,
    siteId,
    pointId,
    bareId,
    providerId,
    alertId: await givenRaisedAlert(db, siteId, [], START),
    shelvedId: await givenRaisedAlert(db, siteId, [], START + HOUR_MS, {
      state: 'shelved',
      shelved_until: new Date(by.nowMs + HOUR_MS),
    }),
    outOfServiceId: await givenRaisedAlert(db, siteId, [], START + 2 * HOUR_MS, { state: 'out-of-service' }),
    calibrationId: await addCalibration(db, siteId, 'probe-7', calibration, by),
    complaintId: await logComplaint(db, siteId, complaint, 'Ada', by.nowMs),
    windowId: (await addWindow(db, { ...window, ...times }, 'Ada', by.nowMs)).windowId,
  };
}

/** Somebody whom a rule tells, a mailbox and a webhook that none does, and a message that was given up. */
async function givenTold(db: Db, nowMs: number) {
  const targetId = await givenTarget(db, 'Desk');
  const hook = { kind: 'webhook', name: 'tickets', url: 'https://desk.example/quiet-path' } as const;
  const webhook = await addTarget(db, hook, { by: 'Ada', secret: SECRET, allowPrivate: false });
  const deliveryId = await addTest(db, await findTarget(db, targetId), 'Ada', ORIGIN, nowMs);
  await db
    .updateTable('delivery')
    .set({ state: 'dead', ended_at: new Date(nowMs) })
    .where('delivery_id', '=', deliveryId)
    .execute();
  return {
    targetId,
    idleTargetId: await givenTarget(db, 'Nobody'),
    webhookId: webhook.targetId,
    ruleId: await givenRule(db, nowMs, { steps: [{ afterMin: 0, targetIds: [targetId] }] }),
    deliveryId,
  };
}
