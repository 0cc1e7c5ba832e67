import { describe, expect, test } from 'vitest';
import { ROLES } from '../../api/accounts/actor.ts';
import { ORIGIN, withApp } from '../support/testApp.ts';

const levelkeep = withApp();

/** Who may do what, in full: a route that is not listed here fails the test. */
const LOWEST_ROLE: Record<string, string> = {
  'GET /api/me': 'viewer',
  'GET /api/fleet': 'viewer',
  'GET /api/alerts': 'viewer',
  'GET /api/alerts/{alertId}': 'viewer',
  'GET /api/sites': 'viewer',
  'GET /api/sites/{siteId}': 'viewer',
  'GET /api/sites/{siteId}/setup': 'viewer',
  'GET /api/sites/{siteId}/points/{pointId}/band': 'viewer',
  'GET /api/sites/{siteId}/points/{pointId}/history': 'viewer',
  'GET /api/sites/{siteId}/points/{pointId}/baselines': 'viewer',
  'GET /api/sites/{siteId}/limits': 'viewer',
  'GET /api/sites/{siteId}/keys': 'viewer',
  'GET /api/sites/{siteId}/rejected': 'viewer',
  'GET /api/sites/{siteId}/progress': 'viewer',
  'GET /api/sites/{siteId}/agent-config': 'viewer',
  'GET /api/sites/{siteId}/points/{pointId}/found-plan': 'viewer',
  'GET /api/imports/sites/form': 'viewer',
  'GET /api/sites/{siteId}/instruments': 'viewer',
  'GET /api/providers': 'viewer',
  'GET /api/plans': 'viewer',
  'GET /api/plans/{planId}': 'viewer',
  'GET /api/plan-proposals': 'viewer',
  'GET /api/services': 'viewer',
  'GET /api/limits': 'viewer',
  'GET /api/complaints': 'viewer',
  'GET /api/complaint-figures': 'viewer',
  'GET /api/sites/{siteId}/services': 'viewer',
  'GET /api/visit-days': 'viewer',
  'GET /api/visit-days/{dayId}': 'viewer',
  'GET /api/visit-results': 'viewer',
  'GET /api/me/notifications': 'viewer',
  'PUT /api/me/notifications': 'viewer',
  'GET /api/maintenance': 'viewer',
  'GET /api/probes': 'viewer',
  'GET /api/sites/{siteId}/probes': 'viewer',
  'GET /api/sites/{siteId}/probes/{probeId}/runs': 'viewer',
  'GET /api/sites/{siteId}/report': 'viewer',
  'GET /api/sites/{siteId}/report.pdf': 'viewer',
  'GET /api/sites/{siteId}/report.csv': 'viewer',
  'GET /api/reports/check': 'viewer',

  'GET /api/sites/{siteId}/points/{pointId}/baselines/preview': 'technician',
  'POST /api/sites/{siteId}/points/{pointId}/baselines': 'technician',
  'POST /api/sites/{siteId}/points': 'technician',
  'POST /api/sites/{siteId}/point-tree': 'technician',
  'PUT /api/sites/{siteId}/points/{pointId}/reading-way': 'technician',
  'POST /api/sites/{siteId}/probes/{probeId}/readings': 'technician',
  'PATCH /api/sites/{siteId}/points/{pointId}': 'technician',
  'POST /api/alerts/acknowledge': 'technician',
  'POST /api/alerts/shelve': 'technician',
  'POST /api/alerts/unshelve': 'technician',
  'POST /api/alerts/note': 'technician',

  'POST /api/alerts/take-out-of-service': 'manager',
  'POST /api/alerts/return-to-service': 'manager',
  'POST /api/sites/{siteId}/complaints': 'technician',
  'GET /api/visit-proposals': 'technician',
  'POST /api/visit-days': 'technician',
  'DELETE /api/visit-days/{dayId}': 'technician',
  'POST /api/sites/{siteId}/visit-results': 'technician',
  'DELETE /api/sites/{siteId}/complaints/{complaintId}': 'technician',
  'PATCH /api/sites/{siteId}/instruments/{name}': 'technician',
  'POST /api/sites/{siteId}/instruments/{name}/calibrations': 'technician',
  'DELETE /api/sites/{siteId}/instruments/{name}/calibrations/{calibrationId}': 'technician',

  'DELETE /api/sites/{siteId}/points/{pointId}': 'manager',
  'POST /api/sites': 'manager',
  'POST /api/imports/sites': 'manager',
  'PATCH /api/sites/{siteId}': 'manager',
  'POST /api/sites/{siteId}/keys': 'manager',
  'DELETE /api/sites/{siteId}/keys/{keyId}': 'manager',
  'POST /api/sites/{siteId}/limits/choices': 'manager',
  'POST /api/sites/{siteId}/probes': 'manager',
  'PATCH /api/sites/{siteId}/probes/{probeId}': 'manager',
  'DELETE /api/sites/{siteId}/probes/{probeId}': 'manager',
  'POST /api/providers': 'manager',
  'PATCH /api/providers/{providerId}': 'manager',
  'DELETE /api/providers/{providerId}': 'manager',
  'POST /api/plans': 'manager',
  'PATCH /api/plans/{planId}': 'manager',
  'POST /api/plans/{planId}/versions': 'manager',
  'DELETE /api/plans/{planId}/versions/{version}': 'manager',
  'POST /api/limits/choices': 'manager',
  'GET /api/notify': 'manager',
  'POST /api/notify/preview': 'manager',
  'POST /api/notify/rules': 'manager',
  'PUT /api/notify/rules/{ruleId}': 'manager',
  'DELETE /api/notify/rules/{ruleId}': 'manager',
  'POST /api/notify/targets': 'manager',
  'PUT /api/notify/targets/{targetId}': 'manager',
  'DELETE /api/notify/targets/{targetId}': 'manager',
  'POST /api/notify/targets/{targetId}/secret': 'manager',
  'POST /api/notify/targets/{targetId}/test': 'manager',
  'GET /api/notify/deliveries': 'manager',
  'POST /api/notify/deliveries/{deliveryId}/resend': 'manager',
  'POST /api/maintenance': 'manager',
  'PATCH /api/maintenance/{windowId}': 'manager',
  'DELETE /api/maintenance/{windowId}': 'manager',
  'GET /api/audit': 'manager',
  'GET /api/audit.csv': 'manager',
  'GET /api/audit.jsonl': 'manager',

  'GET /api/accounts': 'administrator',
  'PATCH /api/accounts/{accountId}': 'administrator',
  'DELETE /api/accounts/{accountId}': 'administrator',
  'POST /api/accounts/{accountId}/password-link': 'administrator',
  'GET /api/invitations': 'administrator',
  'POST /api/invitations': 'administrator',
  'DELETE /api/invitations/{linkId}': 'administrator',
  'GET /api/tokens': 'administrator',
  'POST /api/tokens': 'administrator',
  'DELETE /api/tokens/{tokenId}': 'administrator',
  'GET /api/sites/{siteId}/points/{pointId}/readings/form': 'technician',
  'PUT /api/sites/{siteId}/points/{pointId}/readings/draft': 'technician',
  'DELETE /api/sites/{siteId}/points/{pointId}/readings/draft': 'technician',
  'POST /api/sites/{siteId}/points/{pointId}/readings': 'technician',
  'GET /api/sites/{siteId}/points/{pointId}/readings/drafts': 'viewer',
};

/** Open by design: signing in, and links that are their own proof. */
const OPEN = /^(GET|POST) \/api\/(auth|links)\//;

function apiRoutes(): string[] {
  const handlers = levelkeep.app.routes.filter(
    ({ method, path }) => method !== 'ALL' && path.startsWith('/api/'),
  );
  const named = handlers.map(({ method, path }) => `${method} ${path.replaceAll(/:(\w+)/g, '{$1}')}`);
  return [...new Set(named)].filter((route) => !OPEN.test(route));
}

async function ask(role: (typeof ROLES)[number] | null, route: string): Promise<Response> {
  const [method, path] = route.split(' ') as [string, string];
  const body = ['POST', 'PUT', 'PATCH'].includes(method) ? {} : undefined;
  return levelkeep.send(role, method, path.replaceAll(/\{\w+\}/g, '999999'), body);
}

describe('every route under /api', () => {
  test('is listed with the lowest role that may use it', () => {
    expect(apiRoutes().sort()).toEqual(Object.keys(LOWEST_ROLE).sort());
  });

  test.each(Object.keys(LOWEST_ROLE))('%s refuses whoever is not signed in', async (route) => {
    const answer = await ask(null, route);
    expect(answer.status).toBe(401);
    expect(await answer.json()).toMatchObject({ error: { code: 'not-signed-in' } });
  });

  test.each(Object.entries(LOWEST_ROLE))('%s is for the role %s and those above', async (route, lowest) => {
    const allowed: string[] = [];
    for (const role of ROLES) {
      if ((await ask(role, route)).status !== 403) allowed.push(role);
    }
    expect(allowed).toEqual(ROLES.slice(ROLES.indexOf(lowest as (typeof ROLES)[number])));
  });

  test('refuses a token that nobody issued, instead of taking it for nobody', async () => {
    const headers = { authorization: 'Bearer lkt_unknown' };
    const answer = await levelkeep.app.request(`${ORIGIN}/api/fleet`, { headers });
    expect(answer.status).toBe(401);
    expect(await answer.json()).toMatchObject({ error: { code: 'token-invalid' } });
  });
});

describe('errors', () => {
  test('name the field and the fix', async () => {
    const answer = await levelkeep.send('manager', 'POST', '/api/sites', {
      name: '',
      timeZone: 'Mars/Olympus',
    });
    expect(answer.status).toBe(422);
    const { error } = (await answer.json()) as { error: { code: string; fields: Record<string, string> } };
    expect(error.code).toBe('invalid-input');
    expect(error.fields).toEqual({
      name: 'must not be empty',
      timeZone: 'must be an IANA time zone such as "America/Chicago"',
      outlets: 'is missing: give a number',
    });
  });

  test('of a body that is no JSON, or says it is none, are 4xx and never 5xx', async () => {
    const headers = { authorization: `Bearer ${levelkeep.tokens.manager}` };
    const send = (contentType: string, body: string) =>
      levelkeep.app.request(`${ORIGIN}/api/providers`, {
        method: 'POST',
        headers: { ...headers, 'content-type': contentType },
        body,
      });
    expect((await send('application/json', '{"name":')).status).toBe(400);
    expect((await send('text/plain', '{"name":"x"}')).status).toBe(415);
    expect((await send('application/json', 'null')).status).toBe(422);
    expect((await send('application/json', '[]')).status).toBe(422);
  });

  test('an address of no route is answered in the same shape', async () => {
    const answer = await levelkeep.send('viewer', 'GET', '/api/nothing');
    expect(answer.status).toBe(404);
    expect(await answer.json()).toMatchObject({ error: { code: 'not-found' } });
  });
});

describe('the rest of the surface', () => {
  test('answers health without credentials', async () => {
    expect((await levelkeep.app.request('/healthz')).status).toBe(200);
    expect((await levelkeep.app.request('/readyz')).status).toBe(200);
  });

  test('describes every route of the table at /openapi.json', async () => {
    const answer = await levelkeep.app.request('/openapi.json');
    const { paths } = (await answer.json()) as { paths: Record<string, Record<string, unknown>> };
    const described = Object.entries(paths).flatMap(([path, item]) =>
      Object.keys(item).map((method) => `${method.toUpperCase()} ${path}`),
    );
    expect(described).toEqual(expect.arrayContaining(Object.keys(LOWEST_ROLE)));
  });

  test('lets pages run our own scripts only and be framed by nobody', async () => {
    const { headers } = await levelkeep.app.request('/healthz');
    const policy = headers.get('content-security-policy') ?? '';
    expect(policy).toContain("script-src 'self';");
    expect(policy).not.toContain('unsafe-inline');
    expect(policy).toContain("frame-ancestors 'none'");
    expect(headers.get('x-content-type-options')).toBe('nosniff');
    expect(headers.get('referrer-policy')).toBe('no-referrer');
  });

  test('lets no cache keep an answer of the API', async () => {
    expect((await levelkeep.send('viewer', 'GET', '/api/me')).headers.get('cache-control')).toBe('no-store');
    expect((await levelkeep.send(null, 'GET', '/api/me')).headers.get('cache-control')).toBe('no-store');
  });
});
