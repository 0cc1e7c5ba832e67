import { randomBytes } from 'node:crypto';
import type { Db } from '../../ingest/store/database.ts';
import { seal } from '../accounts/sealSecret.ts';
import { withAccounts } from '../accounts/tables.ts';
import { ApiError, InvalidInput, NotFound } from '../errors.ts';
import type { AddedTarget, ChangeTarget, NewTarget, Reach } from '../schemas/notify.ts';
import { isForeignKeyViolation, isUniqueViolation } from '../setup/constraint.ts';
import { AT_ANY_TIME, columnsOfReach } from './reach.ts';
import { loadRules } from './rules.ts';
import { urlFault } from './webhook/checkUrl.ts';

export interface TargetContext {
  readonly by: string;
  /** Seals a webhook's own secret. */
  readonly secret: string;
  readonly allowPrivate: boolean;
}

/** The length that Standard Webhooks asks for lies between 24 and 64 bytes. */
const SECRET_BYTES = 32;

/** Adds somebody or something to tell; a webhook's secret is given back this once. */
export async function addTarget(db: Db, target: NewTarget, context: TargetContext): Promise<AddedTarget> {
  const made = target.kind === 'webhook' ? newSecret() : null;
  const row = await insertTarget(db, target, made, context);
  return { targetId: row.target_id, secret: made };
}

async function insertTarget(db: Db, target: NewTarget, made: string | null, context: TargetContext) {
  const shared = { kind: target.kind, created_by: context.by };
  return db
    .insertInto('notify_target')
    .values(
      target.kind === 'webhook'
        ? {
            ...shared,
            ...AT_ANY_TIME,
            name: target.name,
            url: checkedUrl(target.url, context),
            sealed: seal(context.secret, made!),
          }
        : {
            ...shared,
            ...columnsOfReach(target.reach),
            ...(target.kind === 'person'
              ? { name: '', person_id: target.personId }
              : { name: target.name, address: target.address }),
          },
    )
    .returning('target_id')
    .executeTakeFirstOrThrow()
    .catch((error: unknown) => {
      if (isUniqueViolation(error)) throw new InvalidInput({ personId: 'can be told already' });
      if (isForeignKeyViolation(error)) throw new InvalidInput({ personId: 'has no account any more' });
      throw error;
    });
}

/** Changes a target of the same kind. */
export async function changeTarget(
  db: Db,
  targetId: number,
  change: ChangeTarget,
  context: TargetContext,
): Promise<void> {
  const { numUpdatedRows } = await db
    .updateTable('notify_target')
    .set(
      change.kind === 'webhook'
        ? { name: change.name, url: checkedUrl(change.url, context) }
        : {
            ...columnsOfReach(change.reach),
            ...(change.kind === 'mailbox' && { name: change.name, address: change.address }),
          },
    )
    .where('target_id', '=', targetId)
    .where('kind', '=', change.kind)
    .executeTakeFirst();
  if (numUpdatedRows === 0n) throw new NotFound(change.kind, targetId);
}

/** Makes a webhook's secret anew; the one before signs nothing from now on. */
export async function renewSecret(db: Db, targetId: number, secret: string): Promise<string> {
  const made = newSecret();
  const { numUpdatedRows } = await db
    .updateTable('notify_target')
    .set({ sealed: seal(secret, made) })
    .where('target_id', '=', targetId)
    .where('kind', '=', 'webhook')
    .executeTakeFirst();
  if (numUpdatedRows === 0n) throw new NotFound('webhook', targetId);
  return made;
}

/** Throws 409 while a rule names the target. */
export async function removeTarget(db: Db, targetId: number): Promise<void> {
  const using = (await loadRules(db)).filter(({ steps }) =>
    steps.some(({ targetIds }) => targetIds.includes(targetId)),
  );
  if (using.length > 0) {
    const names = using.map(({ name }) => `“${name}”`).join(', ');
    throw new ApiError(409, 'target-in-use', `it is told by ${names}`, 'take it out of these rules first');
  }
  const { numDeletedRows } = await db
    .deleteFrom('notify_target')
    .where('target_id', '=', targetId)
    .executeTakeFirst();
  if (numDeletedRows === 0n) throw new NotFound('target', targetId);
}

/** Keeps when a person wants to be told, whether or not anything tells them yet. Returns the number of their target. */
export async function saveOwnReach(db: Db, email: string, name: string, reach: Reach): Promise<number> {
  const person = await withAccounts(db)
    .selectFrom('person')
    .select('id')
    .where('email', '=', email)
    .executeTakeFirst();
  if (!person) throw new NotFound('account', email);
  const columns = columnsOfReach(reach);
  const { target_id } = await db
    .insertInto('notify_target')
    .values({ kind: 'person', name: '', person_id: person.id, created_by: name, ...columns })
    .onConflict((conflict) => conflict.column('person_id').doUpdateSet(columns))
    .returning('target_id')
    .executeTakeFirstOrThrow();
  return target_id;
}

function newSecret(): string {
  return `whsec_${randomBytes(SECRET_BYTES).toString('base64')}`;
}

function checkedUrl(url: string, { allowPrivate }: TargetContext): string {
  const fault = urlFault(url, allowPrivate);
  if (fault !== null) throw new InvalidInput({ url: fault });
  return new URL(url).href;
}
