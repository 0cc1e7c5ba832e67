import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { notifyView } from '../notify/notifyView.ts';
import { planMessages } from '../notify/planMessages.ts';
import { previewRule } from '../notify/previewRule.ts';
import type { RuleTerms } from '../notify/rule.ts';
import { addRule, changeRule, removeRule } from '../notify/rules.ts';
import { checkNamed, findRuleView, namesFor } from '../notify/ruleViews.ts';
import { loadTargets } from '../notify/targets.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import {
  AddedRuleSchema,
  NotifySchema,
  PreviewRuleSchema,
  PreviewSchema,
  SaveRuleSchema,
} from '../schemas/notify.ts';
import { NotifyRuleParams } from '../schemas/params.ts';

const read = createRoute({
  method: 'get',
  path: '/api/notify',
  summary: 'Who is told about which alerts, and how they are reached',
  middleware: [requireRole('manager')] as const,
  responses: { 200: jsonAnswer('Rules as sentences, and targets', NotifySchema) },
});

const preview = createRoute({
  method: 'post',
  path: '/api/notify/preview',
  summary: 'What a rule would have sent over the last 30 days; nothing is saved',
  middleware: [requireRole('manager')] as const,
  request: { body: jsonBody(PreviewRuleSchema) },
  responses: { 200: jsonAnswer('Messages', PreviewSchema) },
});

const add = createRoute({
  method: 'post',
  path: '/api/notify/rules',
  summary: 'Add a rule; it tells of alerts raised from now on',
  middleware: [requireRole('manager')] as const,
  request: { body: jsonBody(SaveRuleSchema) },
  responses: { 201: jsonAnswer('The rule', AddedRuleSchema) },
});

const change = createRoute({
  method: 'put',
  path: '/api/notify/rules/{ruleId}',
  summary: 'Change a rule; one that is about other alerts now begins anew',
  middleware: [requireRole('manager')] as const,
  request: { params: NotifyRuleParams, body: jsonBody(SaveRuleSchema) },
  responses: DONE,
});

const remove = createRoute({
  method: 'delete',
  path: '/api/notify/rules/{ruleId}',
  summary: 'Remove a rule; messages that wait still go out',
  middleware: [requireRole('manager')] as const,
  request: { params: NotifyRuleParams },
  responses: DONE,
});

export function notifyRoutes({ db, now, notify }: Deps) {
  const check = async (terms: RuleTerms) =>
    checkNamed(terms, await namesFor(db, [terms], await loadTargets(db)));
  return createRouter()
    .openapi(read, async (c) => c.json(await notifyView(db, notify), 200))
    .openapi(preview, async (c) => {
      const { rule, timeZone } = c.req.valid('json');
      return c.json(await previewRule(db, rule, timeZone, now()), 200);
    })
    .openapi(add, async (c) => {
      const { enabled, ...terms } = c.req.valid('json');
      await check(terms);
      const [actor, nowMs] = [c.get('actor'), now()];
      const ruleId = await audited(
        { db, actor, nowMs },
        (trx) => addRule(trx, terms, enabled, actor.name, nowMs),
        {
          action: 'add',
          subjectKind: 'notification rule',
          subjectId: (id) => id,
          after: findRuleView,
        },
      );
      return c.json({ ruleId }, 201);
    })
    .openapi(change, async (c) => {
      const { enabled, ...terms } = c.req.valid('json');
      const { ruleId } = c.req.valid('param');
      await check(terms);
      // What the rule has to tell in its old words is written down first.
      const [actor, nowMs] = [c.get('actor'), now()];
      await planMessages(db, nowMs);
      const find = (trx: Db) => findRuleView(trx, ruleId);
      await audited(
        { db, actor, nowMs },
        (trx) => changeRule(trx, ruleId, terms, enabled, actor.name, nowMs),
        { action: 'change', subjectKind: 'notification rule', subjectId: ruleId, before: find, after: find },
      );
      return c.body(null, 204);
    })
    .openapi(remove, async (c) => {
      const { ruleId } = c.req.valid('param');
      await audited({ db, actor: c.get('actor'), nowMs: now() }, (trx) => removeRule(trx, ruleId), {
        action: 'remove',
        subjectKind: 'notification rule',
        subjectId: ruleId,
        before: (trx) => findRuleView(trx, ruleId),
      });
      return c.body(null, 204);
    });
}
