import { THIRTY_CHANNELS } from '../../support/givenSite.ts';

/** What stands in the database that the calls are made on. */
export interface Given {
  readonly siteId: number;
  /** Handoff with sweeps between `from` and `to`. */
  readonly pointId: number;
  /** Outlet without sweeps. */
  readonly bareId: number;
  readonly planId: number;
  readonly providerId: number;
  readonly keyId: number;
  readonly tokenId: number;
  readonly accountId: string;
  readonly leavingId: string;
  readonly invitationId: number;
  readonly linkToken: string;
  readonly from: string;
  readonly to: string;
}

interface Call {
  readonly path: string;
  readonly body?: unknown;
}

const channels = [THIRTY_CHANNELS[0]];
const reason = 'agreed on site';

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
  'DELETE /api/plans/{planId}/versions/{version}': ({ planId }) => ({
    path: `/api/plans/${planId}/versions/2`,
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
};

/** Routes that change nothing a person would ask after, each with the reason. */
export const NOT_AUDITED: Readonly<Record<string, string>> = {
  'POST /api/links/read': 'only reads; the token travels in the body so that it stays out of logs',
};
