import { createRoute } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import { inviteLink, listInvitations, withdrawInvitation } from '../accounts/invitations.ts';
import { issueLink } from '../accounts/oneTimeLinks.ts';
import {
  changePerson,
  findPerson,
  listPeople,
  type PersonSummary,
  removePerson,
} from '../accounts/people.ts';
import { requireRole } from '../accounts/requireRole.ts';
import { audited } from '../audit/audited.ts';
import type { Deps } from '../deps.ts';
import { createRouter, DONE, jsonAnswer, jsonBody } from '../router.ts';
import {
  type Account,
  AccountsSchema,
  ChangeAccountSchema,
  HandedLinkSchema,
  InvitationsSchema,
  MeSchema,
  NewInvitationSchema,
} from '../schemas/accounts.ts';
import { AccountParams, LinkParams } from '../schemas/params.ts';

const me = createRoute({
  method: 'get',
  path: '/api/me',
  summary: 'Who asks, and in which role',
  middleware: [requireRole('viewer')] as const,
  responses: { 200: jsonAnswer('The person or token', MeSchema) },
});

const list = createRoute({
  method: 'get',
  path: '/api/accounts',
  summary: 'Everybody with an account',
  middleware: [requireRole('administrator')] as const,
  responses: { 200: jsonAnswer('Accounts by name', AccountsSchema) },
});

const change = createRoute({
  method: 'patch',
  path: '/api/accounts/{accountId}',
  summary: 'Change a name or role, disable or enable; a change of role or disabling ends sessions',
  middleware: [requireRole('administrator')] as const,
  request: { params: AccountParams, body: jsonBody(ChangeAccountSchema) },
  responses: DONE,
});

const remove = createRoute({
  method: 'delete',
  path: '/api/accounts/{accountId}',
  summary: 'Remove an account; what the person signed keeps the name',
  middleware: [requireRole('administrator')] as const,
  request: { params: AccountParams },
  responses: DONE,
});

const passwordLink = createRoute({
  method: 'post',
  path: '/api/accounts/{accountId}/password-link',
  summary: 'A link, valid for a day and shown once, with which a person sets a new password',
  middleware: [requireRole('administrator')] as const,
  request: { params: AccountParams },
  responses: { 201: jsonAnswer('The link', HandedLinkSchema) },
});

const invitations = createRoute({
  method: 'get',
  path: '/api/invitations',
  summary: 'Invitations that can still be used',
  middleware: [requireRole('administrator')] as const,
  responses: { 200: jsonAnswer('Newest first', InvitationsSchema) },
});

const invite = createRoute({
  method: 'post',
  path: '/api/invitations',
  summary: 'A link, valid for 7 days and shown once, that makes an account in a role',
  middleware: [requireRole('administrator')] as const,
  request: { body: jsonBody(NewInvitationSchema) },
  responses: { 201: jsonAnswer('The link', HandedLinkSchema) },
});

const withdraw = createRoute({
  method: 'delete',
  path: '/api/invitations/{linkId}',
  summary: 'Take an invitation back',
  middleware: [requireRole('administrator')] as const,
  request: { params: LinkParams },
  responses: DONE,
});

/** @param origin public base address that links begin with */
export function accountRoutes({ db, now, origin }: Deps & { readonly origin: string }) {
  return createRouter()
    .openapi(me, (c) => {
      const { name, email, role, via } = c.get('actor');
      return c.json({ name, email, role, via }, 200);
    })
    .openapi(list, async (c) => c.json({ accounts: (await listPeople(db)).map(accountOf) }, 200))
    .openapi(change, async (c) => {
      const { accountId } = c.req.valid('param');
      const nowMs = now();
      await audited(
        { db, actor: c.get('actor'), nowMs },
        (trx) => changePerson(trx, accountId, c.req.valid('json'), nowMs),
        {
          action: 'change',
          subjectKind: 'account',
          subjectId: accountId,
          before: (trx) => accountFacts(trx, accountId),
          after: (trx) => accountFacts(trx, accountId),
        },
      );
      return c.body(null, 204);
    })
    .openapi(remove, async (c) => {
      const { accountId } = c.req.valid('param');
      await audited({ db, actor: c.get('actor'), nowMs: now() }, (trx) => removePerson(trx, accountId), {
        action: 'remove',
        subjectKind: 'account',
        subjectId: accountId,
        before: (trx) => accountFacts(trx, accountId),
      });
      return c.body(null, 204);
    })
    .openapi(passwordLink, async (c) => {
      const { id, role, email } = await findPerson(db, c.req.valid('param').accountId);
      const wanted = { purpose: 'password', role, email, personId: id } as const;
      const actor = c.get('actor');
      const nowMs = now();
      const link = await audited(
        { db, actor, nowMs },
        (trx) => issueLink(trx, { ...wanted, createdBy: actor.name }, nowMs),
        {
          action: 'issue password link',
          subjectKind: 'account',
          subjectId: id,
          after: async (_, { expiresAt }) => ({ email, expiresAt }),
        },
      );
      return c.json(handed(link, origin), 201);
    })
    .openapi(invitations, async (c) => c.json({ invitations: await listInvitations(db, now()) }, 200))
    .openapi(invite, async (c) => {
      const { email, role } = c.req.valid('json');
      const actor = c.get('actor');
      const nowMs = now();
      const link = await audited(
        { db, actor, nowMs },
        (trx) => inviteLink(trx, email, role, actor.name, nowMs),
        {
          action: 'issue',
          subjectKind: 'invitation',
          subjectId: ({ linkId }) => linkId,
          after: async (_, { expiresAt }) => ({ email, role, expiresAt }),
        },
      );
      return c.json(handed(link, origin), 201);
    })
    .openapi(withdraw, async (c) => {
      const { linkId } = c.req.valid('param');
      const nowMs = now();
      await audited({ db, actor: c.get('actor'), nowMs }, (trx) => withdrawInvitation(trx, linkId), {
        action: 'withdraw',
        subjectKind: 'invitation',
        subjectId: linkId,
        before: async (trx) => (await listInvitations(trx, nowMs)).find((open) => open.linkId === linkId),
      });
      return c.body(null, 204);
    });
}

function handed(
  { linkId, path, expiresAt }: { linkId: number; path: string; expiresAt: Date },
  origin: string,
) {
  return { linkId, url: origin + path, expiresAt: expiresAt.toISOString() };
}

async function accountFacts(db: Db, accountId: string) {
  const { name, email, role, disabled } = await findPerson(db, accountId);
  return { name, email, role, disabled };
}

function accountOf({ id, name, email, role, disabled, created_at, lastSeenAt }: PersonSummary): Account {
  return {
    id,
    name,
    email,
    role,
    disabled,
    createdAt: created_at.toISOString(),
    lastSeenAt: lastSeenAt?.toISOString() ?? null,
  };
}
