import { createRoute } from '@hono/zod-openapi';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import { ProviderParams } from '../schemas/params.ts';
import {
  ChangeProviderSchema,
  NewProviderSchema,
  ProviderSchema,
  ProvidersSchema,
} from '../schemas/providers.ts';
import {
  addProvider,
  changeProvider,
  findProvider,
  listProviders,
  removeProvider,
} from '../setup/providers.ts';

const list = createRoute({
  method: 'get',
  path: '/api/providers',
  summary: 'Who hands feeds over',
  middleware: [requireRole('viewer')] as const,
  responses: { 200: jsonAnswer('Every provider by name', ProvidersSchema) },
});

const add = createRoute({
  method: 'post',
  path: '/api/providers',
  summary: 'Add a provider',
  middleware: [requireRole('manager')] as const,
  request: { body: jsonBody(NewProviderSchema) },
  responses: { 201: jsonAnswer('The provider', ProviderSchema) },
});

const change = createRoute({
  method: 'patch',
  path: '/api/providers/{providerId}',
  summary: 'Change a provider',
  middleware: [requireRole('manager')] as const,
  request: { params: ProviderParams, body: jsonBody(ChangeProviderSchema) },
  responses: { 200: jsonAnswer('The provider', ProviderSchema) },
});

const remove = createRoute({
  method: 'delete',
  path: '/api/providers/{providerId}',
  summary: 'Remove a provider that no site names',
  middleware: [requireRole('manager')] as const,
  request: { params: ProviderParams },
  responses: DONE,
});

export function providerRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(list, async (c) => c.json({ providers: await listProviders(db) }, 200))
    .openapi(add, async (c) => {
      const added = await audited(
        { db, actor: c.get('actor'), nowMs: now() },
        (trx) => addProvider(trx, c.req.valid('json')),
        {
          action: 'add',
          subjectKind: 'provider',
          subjectId: (provider) => provider.providerId,
          after: async (_, provider) => provider,
        },
      );
      return c.json(added, 201);
    })
    .openapi(change, async (c) => {
      const { providerId } = c.req.valid('param');
      const changed = await audited(
        { db, actor: c.get('actor'), nowMs: now() },
        (trx) => changeProvider(trx, providerId, c.req.valid('json')),
        {
          action: 'change',
          subjectKind: 'provider',
          subjectId: providerId,
          before: (trx) => findProvider(trx, providerId),
          after: async (_, provider) => provider,
        },
      );
      return c.json(changed, 200);
    })
    .openapi(remove, async (c) => {
      const { providerId } = c.req.valid('param');
      await audited({ db, actor: c.get('actor'), nowMs: now() }, (trx) => removeProvider(trx, providerId), {
        action: 'remove',
        subjectKind: 'provider',
        subjectId: providerId,
        before: (trx) => findProvider(trx, providerId),
      });
      return c.body(null, 204);
    });
}
