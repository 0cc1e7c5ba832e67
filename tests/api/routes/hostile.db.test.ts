import fc from 'fast-check';
import { beforeAll, expect, test } from 'vitest';
import { withApp } from '../../support/testApp.ts';

const RUNS = 80;
const levelkeep = withApp();
let siteId = 0;

const channel = { channel: '78', centreMhz: 549, widthMhz: 6, modulation: 'qam256', services: [] };
/** A sound body for each route that takes one, to be spoilt in one place. */
const BODIES: Record<string, Record<string, unknown>> = {
  'POST /api/providers': { name: 'North', contact: '' },
  'POST /api/sites': {
    name: 'House',
    timeZone: 'Europe/Paris',
    outlets: 3,
    latitude: 1,
    longitude: 1,
    planId: null,
  },
  'PATCH /api/sites/{siteId}': { name: 'House', outlets: 3, providerId: null, accessNotes: '' },
  'POST /api/sites/{siteId}/points': {
    name: 'a',
    kind: 'outlet',
    fedBy: 1,
    intervalS: 60,
    correctionWindowDb: 3,
  },
  'POST /api/sites/{siteId}/keys': { label: 'box' },
  'POST /api/sites/{siteId}/limits/choices': { kind: 'outlet', setId: 'x', changes: [], reason: 'why' },
  'POST /api/plans': { name: 'p', raster: 'own', effectiveFrom: '2025-01-01T00:00:00Z', channels: [channel] },
  'POST /api/limits/choices': { kind: 'outlet', setId: 'x', changes: [], reason: 'why' },
  'POST /api/sites/{siteId}/complaints': {
    symptom: 'breaks-up',
    viewerChannel: '7',
    rfChannel: null,
    pointId: null,
    seenAt: '2026-01-01T00:00:00Z',
    note: 'in the evening',
  },
  'POST /api/visit-days': {
    technician: 'Ada',
    startName: 'Depot',
    startLatitude: 41,
    startLongitude: -72,
    timeZone: 'Europe/Paris',
    from: '2026-01-01T08:00:00Z',
    to: '2026-01-01T16:00:00Z',
    siteIds: [1],
  },
  'POST /api/sites/{siteId}/visit-results': {
    resultId: '0190a0a0-0000-7000-8000-000000000001',
    visitId: null,
    alertId: null,
    pointId: 1,
    outcome: 'repaired',
    found: 'water',
    levelBeforeDbmv: -3,
    beganAt: '2026-01-01T08:00:00Z',
    doneAt: '2026-01-01T09:00:00Z',
  },
  'POST /api/invitations': { email: 'a@example.org', role: 'viewer' },
  'POST /api/tokens': { label: 't', role: 'viewer', expiresAt: null },
  'POST /api/alerts/acknowledge': { alertIds: [1], why: 'on it' },
  'POST /api/alerts/shelve': { alertIds: [1], why: 'roof work', until: '2026-01-01T00:00:00Z' },
  'POST /api/alerts/note': { alertIds: [1], why: 'seen' },
  'POST /api/links/accept': {
    token: 'lkl_x',
    name: 'A',
    email: 'a@example.org',
    password: 'correct horse battery',
  },
};

const odd = fc.oneof(
  fc.jsonValue(),
  fc.constantFrom(
    '\0',
    '\ud800',
    ' ',
    '9'.repeat(400),
    'x'.repeat(5000),
    1e308,
    -1,
    0.5,
    2 ** 53,
    '0000-01-01T00:00:00Z',
  ),
  fc.string({ unit: 'binary' }),
);

beforeAll(async () => {
  const body = { name: 'Target', timeZone: 'UTC', outlets: 1 };
  const answer = await levelkeep.send('manager', 'POST', '/api/sites', body);
  siteId = ((await answer.json()) as { site: { siteId: number } }).site.siteId;
});

test.each(Object.entries(BODIES))('%s answers no spoilt body with a 5xx', async (route, sound) => {
  const [method, path] = route.split(' ') as [string, string];
  const fields = [...Object.keys(sound), 'unheardOf'];
  const property = fc.asyncProperty(fc.constantFrom(...fields), odd, async (field, value) => {
    const body = { ...sound, [field]: value };
    const answer = await levelkeep.send(
      'administrator',
      method,
      path.replace('{siteId}', String(siteId)),
      body,
    );
    expect(answer.status).toBeLessThan(500);
  });
  await fc.assert(property, { numRuns: RUNS });
});

test('ids out of any range are answered with a 4xx', async () => {
  for (const id of ['0', '-1', '1.5', '9007199254740991', '99999999999999999999', 'NaN', '%00', '1%2F2']) {
    for (const path of [
      `/api/sites/${id}`,
      `/api/sites/${id}/setup`,
      `/api/plans/${id}`,
      `/api/sites/${siteId}/points/${id}/band`,
    ]) {
      const { status } = await levelkeep.send('viewer', 'GET', path);
      expect(status, path).toBeGreaterThanOrEqual(400);
      expect(status, path).toBeLessThan(500);
    }
    const removed = await levelkeep.send('manager', 'DELETE', `/api/plans/1/versions/${id}`);
    expect(removed.status).toBeLessThan(500);
  }
});

test('a body of more than 4 MiB is refused', async () => {
  const body = { name: 'x'.repeat(4 * 1024 * 1024) };
  expect((await levelkeep.send('manager', 'POST', '/api/providers', body)).status).toBe(413);
});
