import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { issueToken, listTokens, revokeToken } from '../accounts/automationTokens.ts';
import { requireRole } from '../accounts/requireRole.ts';
import type { AutomationToken } from '../accounts/tables.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { InvalidInput } from '../errors.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import { IssuedTokenSchema, NewTokenSchema, type Token, TokensSchema } from '../schemas/accounts.ts';
import { TokenParams } from '../schemas/params.ts';

const list = createRoute({
  method: 'get',
  path: '/api/tokens',
  summary: 'Automation tokens, those in use and those that ended',
  middleware: [requireRole('administrator')] as const,
  responses: { 200: jsonAnswer('Newest first', TokensSchema) },
});

const issue = createRoute({
  method: 'post',
  path: '/api/tokens',
  summary: 'Make an automation token; it is shown this once',
  middleware: [requireRole('administrator')] as const,
  request: { body: jsonBody(NewTokenSchema) },
  responses: { 201: jsonAnswer('The token', IssuedTokenSchema) },
});

const revoke = createRoute({
  method: 'delete',
  path: '/api/tokens/{tokenId}',
  summary: 'End an automation token at once',
  middleware: [requireRole('administrator')] as const,
  request: { params: TokenParams },
  responses: DONE,
});

export function tokenRoutes({ db, now }: Deps) {
  return createRouter()
    .openapi(list, async (c) => c.json({ tokens: (await listTokens(db)).map(tokenOf) }, 200))
    .openapi(issue, async (c) => {
      const { label, role, expiresAt } = c.req.valid('json');
      const expires = expiresAt === null ? null : new Date(expiresAt);
      if (expires && expires.getTime() <= now())
        throw new InvalidInput({ expiresAt: 'must lie in the future' });
      const actor = c.get('actor');
      const wanted = { label, role, expiresAt: expires, createdBy: actor.name };
      const issued = await audited({ db, actor, nowMs: now() }, (trx) => issueToken(trx, wanted), {
        action: 'issue',
        subjectKind: 'automation token',
        subjectId: ({ tokenId }) => tokenId,
        after: async () => ({ label, role, expiresAt }),
      });
      return c.json(issued, 201);
    })
    .openapi(revoke, async (c) => {
      const { tokenId } = c.req.valid('param');
      const nowMs = now();
      const find = async (trx: Db) => {
        const row = (await listTokens(trx)).find((token) => token.token_id === tokenId);
        return row && tokenOf(row);
      };
      await audited({ db, actor: c.get('actor'), nowMs }, (trx) => revokeToken(trx, tokenId, nowMs), {
        action: 'revoke',
        subjectKind: 'automation token',
        subjectId: tokenId,
        before: find,
        after: find,
      });
      return c.body(null, 204);
    });
}

function tokenOf(row: AutomationToken): Token {
  return {
    tokenId: row.token_id,
    label: row.label,
    role: row.role,
    createdBy: row.created_by,
    createdAt: row.created_at.toISOString(),
    expiresAt: row.expires_at?.toISOString() ?? null,
    lastUsedAt: row.last_used_at?.toISOString() ?? null,
    revokedAt: row.revoked_at?.toISOString() ?? null,
  };
}
