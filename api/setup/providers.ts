import type { Db } from '../../ingest/store/database.ts';
import { ApiError, InvalidInput, NotFound } from '../errors.ts';
import type { ChangeProvider, Provider } from '../schemas/providers.ts';
import { isUniqueViolation } from './constraint.ts';

/** Every provider by name, with the number of sites it feeds. */
export function listProviders(db: Db): Promise<Provider[]> {
  return db
    .selectFrom('provider')
    .leftJoin('site', 'site.provider_id', 'provider.provider_id')
    .select(['provider.provider_id as providerId', 'provider.name', 'provider.contact'])
    .select((eb) => eb.fn.count<number>('site.site_id').as('sites'))
    .groupBy('provider.provider_id')
    .orderBy('provider.name')
    .execute();
}

/** Throws InvalidInput when the name is taken. */
export async function addProvider(db: Db, provider: { name: string; contact: string }): Promise<Provider> {
  const { provider_id } = await db
    .insertInto('provider')
    .values(provider)
    .returning('provider_id')
    .executeTakeFirstOrThrow()
    .catch(explainTakenName);
  return findProvider(db, provider_id);
}

export async function changeProvider(db: Db, providerId: number, change: ChangeProvider): Promise<Provider> {
  if (change.name !== undefined || change.contact !== undefined) {
    await db
      .updateTable('provider')
      .set(change)
      .where('provider_id', '=', providerId)
      .execute()
      .catch(explainTakenName);
  }
  return findProvider(db, providerId);
}

/** Throws 409 while sites name the provider. */
export async function removeProvider(db: Db, providerId: number): Promise<void> {
  const { sites } = await findProvider(db, providerId);
  if (sites > 0) {
    throw new ApiError(
      409,
      'provider-in-use',
      `${sites} sites name this provider`,
      'give them another provider first',
    );
  }
  await db.deleteFrom('provider').where('provider_id', '=', providerId).execute();
}

/** Throws 404 when there is no such provider. */
export async function findProvider(db: Db, providerId: number): Promise<Provider> {
  const provider = (await listProviders(db)).find((candidate) => candidate.providerId === providerId);
  if (!provider) throw new NotFound('provider', providerId);
  return provider;
}

function explainTakenName(error: unknown): never {
  if (isUniqueViolation(error))
    throw new InvalidInput({ name: 'is taken by another provider: choose another' });
  throw error;
}
