import { z } from '@hono/zod-openapi';
import { ROLES } from '../accounts/actor.ts';
import { MAX_PASSWORD_LENGTH, MIN_PASSWORD_LENGTH } from '../accounts/passwordRules.ts';
import { LINK_PURPOSES } from '../accounts/tables.ts';
import { Instant } from './common.ts';

export const RoleSchema = z.enum(ROLES);
const Name = z.string().trim().min(1).max(120);
const Email = z.email().max(254);
const Password = z.string().min(MIN_PASSWORD_LENGTH).max(MAX_PASSWORD_LENGTH);

export const MeSchema = z.object({
  name: z.string(),
  email: z.string().nullable(),
  role: RoleSchema,
  via: z.enum(['session', 'token']),
});
export type Me = z.infer<typeof MeSchema>;

/** The part of a one-time link's address after "#". */
export const LinkToken = z.object({ token: z.string().min(1).max(200) });

export const LinkViewSchema = z.object({
  /** `setup` makes the first administrator, `invitation` an account, `password` sets a new password. */
  purpose: z.enum(LINK_PURPOSES),
  role: RoleSchema,
  /** The address that the account has or will have; null where the person says. */
  email: z.string().nullable(),
  expiresAt: Instant,
});
export type LinkView = z.infer<typeof LinkViewSchema>;

export const AcceptLinkSchema = LinkToken.extend({
  /** Not needed to set a new password. */
  name: Name.optional(),
  /** Needed where the link names no address. */
  email: Email.optional(),
  password: Password,
});
export type AcceptLink = z.infer<typeof AcceptLinkSchema>;

export const AcceptedLinkSchema = z.object({ email: z.string() });

export const AccountSchema = z.object({
  id: z.string(),
  name: z.string(),
  email: z.string(),
  role: RoleSchema,
  disabled: z.boolean(),
  createdAt: Instant,
  /** When the newest session was made or renewed. */
  lastSeenAt: Instant.nullable(),
});
export type Account = z.infer<typeof AccountSchema>;
export const AccountsSchema = z.object({ accounts: z.array(AccountSchema) });

export const ChangeAccountSchema = z.object({
  name: Name.optional(),
  role: RoleSchema.optional(),
  disabled: z.boolean().optional(),
});
export type ChangeAccount = z.infer<typeof ChangeAccountSchema>;

export const NewInvitationSchema = z.object({ email: Email, role: RoleSchema });
export type NewInvitation = z.infer<typeof NewInvitationSchema>;

export const InvitationSchema = z.object({
  linkId: z.number(),
  email: z.string().nullable(),
  role: RoleSchema,
  createdBy: z.string(),
  createdAt: Instant,
  expiresAt: Instant,
});
export type Invitation = z.infer<typeof InvitationSchema>;
export const InvitationsSchema = z.object({ invitations: z.array(InvitationSchema) });

/** A link to hand over; it is shown this once. */
export const HandedLinkSchema = z.object({ linkId: z.number(), url: z.string(), expiresAt: Instant });
export type HandedLink = z.infer<typeof HandedLinkSchema>;

export const NewTokenSchema = z.object({
  label: Name,
  role: RoleSchema,
  expiresAt: Instant.nullable().default(null),
});
export type NewToken = z.input<typeof NewTokenSchema>;

export const TokenSchema = z.object({
  tokenId: z.number(),
  label: z.string(),
  role: RoleSchema,
  createdBy: z.string(),
  createdAt: Instant,
  expiresAt: Instant.nullable(),
  lastUsedAt: Instant.nullable(),
  revokedAt: Instant.nullable(),
});
export type Token = z.infer<typeof TokenSchema>;
export const TokensSchema = z.object({ tokens: z.array(TokenSchema) });

/** `token` is shown this once. */
export const IssuedTokenSchema = z.object({ tokenId: z.number(), token: z.string() });
export type IssuedToken = z.infer<typeof IssuedTokenSchema>;
