import { createRoute } from '@hono/zod-openapi';
import type { ZodType } from 'zod';
import type { Actor, Role } from '../accounts/actor.ts';
import { requireRole } from '../accounts/requireRole.ts';
import {
  acknowledge,
  type Doing,
  note,
  returnToService,
  shelve,
  takeOutOfService,
  unshelve,
} from '../alerts/actions.ts';
import { actOnAlerts } from '../alerts/actOnAlerts.ts';
import { findAlert, listAlerts } from '../alerts/alertQueries.ts';
import type { Deps } from '../deps.ts';
import { createRouter, jsonAnswer, jsonBody } from '../router.ts';
import {
  AlertPageSchema,
  AlertParams,
  AlertQuery,
  DoneToAlertsSchema,
  DoToAlertsSchema,
  ExplainedAlertsSchema,
  OneAlertSchema,
  ShelveAlertsSchema,
} from '../schemas/alerts.ts';

const list = createRoute({
  method: 'get',
  path: '/api/alerts',
  summary: 'Alerts, those that cost most outlet-days first',
  middleware: [requireRole('viewer')] as const,
  request: { query: AlertQuery },
  responses: { 200: jsonAnswer('One slice of the list', AlertPageSchema) },
});

const read = createRoute({
  method: 'get',
  path: '/api/alerts/{alertId}',
  summary: 'One alert: its findings, its sites, and all that was done to it',
  middleware: [requireRole('viewer')] as const,
  request: { params: AlertParams },
  responses: { 200: jsonAnswer('The alert', OneAlertSchema) },
});

function doing<B extends ZodType>(verb: string, role: Role, summary: string, body: B) {
  return createRoute({
    method: 'post',
    path: `/api/alerts/${verb}`,
    summary,
    middleware: [requireRole(role)] as const,
    request: { body: jsonBody(body) },
    responses: { 200: jsonAnswer('What was done, and what refused', DoneToAlertsSchema) },
  });
}

const doAcknowledge = doing('acknowledge', 'technician', 'Acknowledge alerts', DoToAlertsSchema);
const doShelve = doing(
  'shelve',
  'technician',
  'Put alerts out of sight until a moment, 30 days ahead at most',
  ShelveAlertsSchema,
);
const doUnshelve = doing('unshelve', 'technician', 'Take alerts off the shelf', DoToAlertsSchema);
const doNote = doing('note', 'technician', 'Put a note on the record of alerts', ExplainedAlertsSchema);
const doTakeOut = doing(
  'take-out-of-service',
  'manager',
  'Take alerts out of service until somebody returns them',
  ExplainedAlertsSchema,
);
const doReturn = doing('return-to-service', 'manager', 'Return alerts to service', DoToAlertsSchema);

type Act = typeof acknowledge;

/** The list of alerts, one alert, and what people do to them. */
export function alertRoutes({ db, now }: Deps) {
  const doTo = (actor: Actor, alertIds: readonly number[], action: string, doing: Doing, act: Act) => {
    const nowMs = now();
    return actOnAlerts({ db, actor, nowMs }, alertIds, {
      action,
      why: doing.why,
      act: (trx, alertId) => act(trx, alertId, doing, nowMs),
    });
  };
  return createRouter()
    .openapi(list, async (c) => c.json(await listAlerts(db, c.req.valid('query')), 200))
    .openapi(read, async (c) => c.json(await findAlert(db, c.req.valid('param').alertId, now()), 200))
    .openapi(doAcknowledge, async (c) => {
      const { alertIds, why } = c.req.valid('json');
      const actor = c.get('actor');
      return c.json(await doTo(actor, alertIds, 'acknowledge', { by: actor.name, why }, acknowledge), 200);
    })
    .openapi(doShelve, async (c) => {
      const { alertIds, why, until } = c.req.valid('json');
      const actor = c.get('actor');
      const how = { by: actor.name, why, untilMs: Date.parse(until) };
      const act: Act = (trx, id, _, nowMs) => shelve(trx, id, how, nowMs);
      return c.json(await doTo(actor, alertIds, 'shelve', how, act), 200);
    })
    .openapi(doUnshelve, async (c) => {
      const { alertIds, why } = c.req.valid('json');
      const actor = c.get('actor');
      return c.json(await doTo(actor, alertIds, 'unshelve', { by: actor.name, why }, unshelve), 200);
    })
    .openapi(doNote, async (c) => {
      const { alertIds, why } = c.req.valid('json');
      const actor = c.get('actor');
      return c.json(await doTo(actor, alertIds, 'note', { by: actor.name, why }, note), 200);
    })
    .openapi(doTakeOut, async (c) => {
      const { alertIds, why } = c.req.valid('json');
      const actor = c.get('actor');
      return c.json(
        await doTo(actor, alertIds, 'take out of service', { by: actor.name, why }, takeOutOfService),
        200,
      );
    })
    .openapi(doReturn, async (c) => {
      const { alertIds, why } = c.req.valid('json');
      const actor = c.get('actor');
      return c.json(
        await doTo(actor, alertIds, 'return to service', { by: actor.name, why }, returnToService),
        200,
      );
    });
}
