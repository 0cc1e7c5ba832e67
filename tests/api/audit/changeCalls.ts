import { THIRTY_CHANNELS } from '../../support/givenSite.ts';

/** What stands in the database that the calls are made on. */
export interface Given {
  readonly siteId: number;
  /** Handoff with sweeps between `from` and `to`. */
  readonly pointId: number;
  /** Outlet without sweeps. */
  readonly bareId: number;
  readonly planId: number;
  /** A plan whose second version lies ahead. */
  readonly changingPlanId: number;
  readonly providerId: number;
  readonly keyId: number;
  readonly tokenId: number;
  readonly accountId: string;
  readonly leavingId: string;
  readonly invitationId: number;
  readonly linkToken: string;
  readonly probeId: number;
  readonly probePointId: number;
  /** Of the instrument "probe-7". */
  readonly calibrationId: number;
  readonly complaintId: number;
  readonly windowId: number;
  /** Active, at the site. */
  readonly alertId: number;
  readonly shelvedId: number;
  readonly outOfServiceId: number;
  readonly dayId: number;
  readonly dayHours: { readonly from: string; readonly to: string };
  readonly resultId: string;
  /** A mailbox that the rule tells. */
  readonly targetId: number;
  /** One that no rule tells. */
  readonly idleTargetId: number;
  readonly webhookId: number;
  readonly ruleId: number;
  /** A message that was given up. */
  readonly deliveryId: number;
  readonly from: string;
  readonly to: string;
}

interface Call {
  readonly path: string;
  readonly body?: unknown;
  /** Only a signed-in person may do it, not a token. */
  readonly signedIn?: true;
}

const channels = [THIRTY_CHANNELS[0]];
const reason = 'agreed on site';
const reach = {
  timeZone: 'America/Chicago',
  quiet: { from: '22:00', to: '06:15' },
  workDays: [1, 2, 3, 4, 5],
  digest: { daily: false, weekly: true, at: '07:00' },
};
const about = {
  siteIds: null,
  providerIds: null,
  kind: null,
  severityAtLeast: 'warning',
  side: null,
  daysLeftUnder: null,
};
const flags = { tellsWorse: true, tellsReturn: true, throughQuiet: true, enabled: true };
const aRule = (targetId: number, delayMin: number) => ({
  name: 'all alerts',
  about,
  delayMin,
  steps: [{ afterMin: 0, targetIds: [targetId] }],
  ...flags,
});

/** One call that succeeds for each route that changes something. A new such route needs one here, or an exception below. */
export const CHANGE_CALLS: Readonly<Record<string, (given: Given) => Call>> = {
  'POST /api/sites': () => ({
    path: '/api/sites',
    body: { name: 'Elm House', timeZone: 'America/Chicago', outlets: 4 },
  }),
  'PATCH /api/sites/{siteId}': ({ siteId }) => ({ path: `/api/sites/${siteId}`, body: { outlets: 12 } }),
  'POST /api/sites/{siteId}/points': ({ siteId, pointId }) => ({
    path: `/api/sites/${siteId}/points`,
    body: { name: 'floor-2', kind: 'outlet', fedBy: pointId },
  }),
  'PATCH /api/sites/{siteId}/points/{pointId}': ({ siteId, bareId }) => ({
    path: `/api/sites/${siteId}/points/${bareId}`,
    body: { label: 'floor one' },
  }),
  'DELETE /api/sites/{siteId}/points/{pointId}': ({ siteId, bareId }) => ({
    path: `/api/sites/${siteId}/points/${bareId}`,
  }),
  'POST /api/sites/{siteId}/points/{pointId}/baselines': ({ siteId, pointId, from, to }) => ({
    path: `/api/sites/${siteId}/points/${pointId}/baselines`,
    body: { from, to, exceptionNote: reason },
  }),
  'POST /api/sites/{siteId}/keys': ({ siteId }) => ({
    path: `/api/sites/${siteId}/keys`,
    body: { label: 'riser box' },
  }),
  'DELETE /api/sites/{siteId}/keys/{keyId}': ({ siteId, keyId }) => ({
    path: `/api/sites/${siteId}/keys/${keyId}`,
  }),
  'POST /api/sites/{siteId}/limits/choices': ({ siteId }) => ({
    path: `/api/sites/${siteId}/limits/choices`,
    body: { kind: 'outlet', pointId: null, setId: 'iec-60728-1', changes: [], reason },
  }),
  'POST /api/limits/choices': () => ({
    path: '/api/limits/choices',
    body: { kind: 'outlet', setId: 'iec-60728-1', changes: [], reason },
  }),
  'POST /api/providers': () => ({ path: '/api/providers', body: { name: 'Fenmoor Cable' } }),
  'PATCH /api/providers/{providerId}': ({ providerId }) => ({
    path: `/api/providers/${providerId}`,
    body: { contact: 'night desk' },
  }),
  'DELETE /api/providers/{providerId}': ({ providerId }) => ({ path: `/api/providers/${providerId}` }),
  'POST /api/plans': () => ({
    path: '/api/plans',
    body: { name: 'Elm plan', raster: 'own', effectiveFrom: '2026-01-01T00:00:00Z', channels },
  }),
  'PATCH /api/plans/{planId}': ({ planId }) => ({
    path: `/api/plans/${planId}`,
    body: { name: 'Renamed plan' },
  }),
  'POST /api/plans/{planId}/versions': ({ planId }) => ({
    path: `/api/plans/${planId}/versions`,
    body: { effectiveFrom: '2999-01-01T00:00:00Z', channels },
  }),
  'DELETE /api/plans/{planId}/versions/{version}': ({ changingPlanId }) => ({
    path: `/api/plans/${changingPlanId}/versions/2`,
  }),
  'PATCH /api/accounts/{accountId}': ({ accountId }) => ({
    path: `/api/accounts/${accountId}`,
    body: { role: 'technician' },
  }),
  'DELETE /api/accounts/{accountId}': ({ leavingId }) => ({ path: `/api/accounts/${leavingId}` }),
  'POST /api/accounts/{accountId}/password-link': ({ accountId }) => ({
    path: `/api/accounts/${accountId}/password-link`,
  }),
  'POST /api/invitations': () => ({
    path: '/api/invitations',
    body: { email: 'new@quillhaven.example', role: 'viewer' },
  }),
  'DELETE /api/invitations/{linkId}': ({ invitationId }) => ({ path: `/api/invitations/${invitationId}` }),
  'POST /api/tokens': () => ({
    path: '/api/tokens',
    body: { label: 'nightly', role: 'viewer', expiresAt: null },
  }),
  'DELETE /api/tokens/{tokenId}': ({ tokenId }) => ({ path: `/api/tokens/${tokenId}` }),
  'POST /api/links/accept': ({ linkToken }) => ({
    path: '/api/links/accept',
    body: { token: linkToken, name: 'Ivo Marsh', password: 'correct horse battery staple' },
  }),
  'POST /api/sites/{siteId}/point-tree': ({ siteId }) => ({
    path: `/api/sites/${siteId}/point-tree`,
    body: { points: [{ name: 'floor-9', kind: 'outlet', fedBy: 'handoff' }] },
  }),
  'PUT /api/sites/{siteId}/points/{pointId}/reading-way': ({ siteId, pointId }) => ({
    path: `/api/sites/${siteId}/points/${pointId}/reading-way`,
    body: { way: 'agent-modem', host: '192.0.2.10', user: 'reader' },
  }),
  'POST /api/sites/{siteId}/points/{pointId}/readings': ({ siteId, pointId, from }) => ({
    path: `/api/sites/${siteId}/points/${pointId}/readings`,
    body: {
      at: from,
      instrument: 'meter 4',
      levelUnit: 'dBmV',
      ambientC: null,
      readings: [{ freqMhz: 111, level: 1.5, merDb: 36, cnrDb: null }],
    },
  }),
  'POST /api/imports/sites': () => ({
    path: '/api/imports/sites',
    body: { sites: 'name,town,time_zone,outlets\nBirch Yard,Elm Falls,America/Chicago,8\n', apply: true },
  }),
  'POST /api/sites/{siteId}/probes': ({ siteId, bareId, probePointId }) => ({
    path: `/api/sites/${siteId}/probes`,
    body: {
      pointId: probePointId,
      name: `modem beside ${bareId}`,
      kind: 'modem',
      settings: { host: '192.0.2.77', access: { version: '2c' } },
      secrets: { community: 'quiet words' },
      schedule: { kind: 'every', intervalS: 300 },
    },
  }),
  'PATCH /api/sites/{siteId}/probes/{probeId}': ({ siteId, probeId }) => ({
    path: `/api/sites/${siteId}/probes/${probeId}`,
    body: { secrets: { community: 'quiet words' } },
  }),
  'POST /api/sites/{siteId}/probes/{probeId}/readings': ({ siteId, probeId }) => ({
    path: `/api/sites/${siteId}/probes/${probeId}/readings`,
  }),
  'DELETE /api/sites/{siteId}/probes/{probeId}': ({ siteId, probeId }) => ({
    path: `/api/sites/${siteId}/probes/${probeId}`,
  }),
  'PATCH /api/sites/{siteId}/instruments/{name}': ({ siteId }) => ({
    path: `/api/sites/${siteId}/instruments/probe-7`,
    body: { serial: 'A 1' },
  }),
  'POST /api/sites/{siteId}/instruments/{name}/calibrations': ({ siteId, to }) => ({
    path: `/api/sites/${siteId}/instruments/probe-7/calibrations`,
    body: { calibratedAt: to },
  }),
  'DELETE /api/sites/{siteId}/instruments/{name}/calibrations/{calibrationId}': ({
    siteId,
    calibrationId,
  }) => ({ path: `/api/sites/${siteId}/instruments/probe-7/calibrations/${calibrationId}` }),
  'POST /api/maintenance': ({ from, to }) => ({
    path: '/api/maintenance',
    body: { scope: 'fleet', scopeId: null, fromAt: from, toAt: to, reason, effect: 'no signal' },
  }),
  'PATCH /api/maintenance/{windowId}': ({ windowId }) => ({
    path: `/api/maintenance/${windowId}`,
    body: { reason: 'new splitter' },
  }),
  'DELETE /api/maintenance/{windowId}': ({ windowId }) => ({ path: `/api/maintenance/${windowId}` }),
  'POST /api/sites/{siteId}/complaints': ({ siteId }) => ({
    path: `/api/sites/${siteId}/complaints`,
    body: { symptom: 'breaks-up', outlet: 'flat 4' },
  }),
  'DELETE /api/sites/{siteId}/complaints/{complaintId}': ({ siteId, complaintId }) => ({
    path: `/api/sites/${siteId}/complaints/${complaintId}`,
  }),
  'POST /api/visit-days': ({ siteId, dayHours }) => ({
    path: '/api/visit-days',
    body: { technician: 'Ada', timeZone: 'America/Chicago', ...dayHours, siteIds: [siteId] },
  }),
  'DELETE /api/visit-days/{dayId}': ({ dayId }) => ({ path: `/api/visit-days/${dayId}` }),
  'POST /api/sites/{siteId}/visit-results': ({ siteId, pointId, alertId, resultId, from, to }) => ({
    path: `/api/sites/${siteId}/visit-results`,
    body: {
      resultId,
      pointId,
      alertId,
      outcome: 'repaired',
      found: 'wet connector',
      beganAt: from,
      doneAt: to,
    },
  }),
  'POST /api/alerts/acknowledge': ({ alertId }) => ({
    path: '/api/alerts/acknowledge',
    body: { alertIds: [alertId] },
  }),
  'POST /api/alerts/note': ({ alertId }) => ({
    path: '/api/alerts/note',
    body: { alertIds: [alertId], why: 'the desk asked' },
  }),
  'POST /api/alerts/shelve': ({ alertId }) => ({
    path: '/api/alerts/shelve',
    body: {
      alertIds: [alertId],
      why: 'building is empty',
      until: new Date(Date.now() + 86_400_000).toISOString(),
    },
  }),
  'POST /api/alerts/unshelve': ({ shelvedId }) => ({
    path: '/api/alerts/unshelve',
    body: { alertIds: [shelvedId] },
  }),
  'POST /api/alerts/take-out-of-service': ({ alertId }) => ({
    path: '/api/alerts/take-out-of-service',
    body: { alertIds: [alertId], why: 'being rebuilt' },
  }),
  'POST /api/alerts/return-to-service': ({ outOfServiceId }) => ({
    path: '/api/alerts/return-to-service',
    body: { alertIds: [outOfServiceId] },
  }),
  'PUT /api/me/notifications': () => ({ path: '/api/me/notifications', body: reach, signedIn: true }),
  'POST /api/notify/targets': () => ({
    path: '/api/notify/targets',
    body: { kind: 'webhook', name: 'new tickets', url: 'https://desk.example/quiet-path/2' },
  }),
  'PUT /api/notify/targets/{targetId}': ({ webhookId }) => ({
    path: `/api/notify/targets/${webhookId}`,
    body: { kind: 'webhook', name: 'tickets', url: 'https://desk.example/quiet-path/3' },
  }),
  'POST /api/notify/targets/{targetId}/secret': ({ webhookId }) => ({
    path: `/api/notify/targets/${webhookId}/secret`,
  }),
  'POST /api/notify/targets/{targetId}/test': ({ targetId }) => ({
    path: `/api/notify/targets/${targetId}/test`,
  }),
  'DELETE /api/notify/targets/{targetId}': ({ idleTargetId }) => ({
    path: `/api/notify/targets/${idleTargetId}`,
  }),
  'POST /api/notify/rules': ({ targetId }) => ({ path: '/api/notify/rules', body: aRule(targetId, 5) }),
  'PUT /api/notify/rules/{ruleId}': ({ ruleId, targetId }) => ({
    path: `/api/notify/rules/${ruleId}`,
    body: aRule(targetId, 10),
  }),
  'DELETE /api/notify/rules/{ruleId}': ({ ruleId }) => ({ path: `/api/notify/rules/${ruleId}` }),
  'POST /api/notify/deliveries/{deliveryId}/resend': ({ deliveryId }) => ({
    path: `/api/notify/deliveries/${deliveryId}/resend`,
  }),
};

/** Routes that change nothing a person would ask after, each with the reason. */
export const NOT_AUDITED: Readonly<Record<string, string>> = {
  'POST /api/links/read': 'only reads; the token travels in the body so that it stays out of logs',
  'POST /api/notify/preview': 'only reads; a rule is too long for an address',
  'PUT /api/sites/{siteId}/points/{pointId}/readings/draft':
    'what is typed and not saved, kept anew at every figure and gone after 12 h; saving it is audited',
  'DELETE /api/sites/{siteId}/points/{pointId}/readings/draft':
    'a person throws away what only they have typed and never saved',
};
