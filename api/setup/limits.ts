import type { Transaction } from 'kysely';
import { announceChange } from '../../ingest/store/announceChange.ts';
import { announceToSites } from '../../ingest/store/announceToSites.ts';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import type { Database, PointKind } from '../../ingest/store/schema.ts';
import { InvalidInput, NotFound } from '../errors.ts';
import type { LimitChange, LimitChoice } from '../limits/limitChoice.ts';
import { findLimitSet } from '../limits/limitSets.ts';
import { ALL_HISTORY_MS } from './allHistory.ts';

interface ChoiceInput {
  readonly setId: string;
  readonly changes: readonly LimitChange[];
  readonly reason: string;
}

/** Which points of a site a choice is for: all of a kind, or one. */
export type SiteScope =
  | { readonly kind: PointKind; readonly pointId: null }
  | { readonly kind: null; readonly pointId: number };

/** Keeps a choice for a kind of point in the whole fleet; every such point is judged again. */
export async function chooseForFleet(
  db: Db,
  kind: PointKind,
  input: ChoiceInput,
  chosenBy: string,
): Promise<void> {
  const row = rowOfChoice(input, chosenBy);
  await inTransaction(db, async (trx) => {
    await trx
      .insertInto('fleet_limit_choice')
      .values({ ...row, kind })
      .execute();
    const points = await trx
      .selectFrom('point')
      .select(['site_id', 'point_id'])
      .where('kind', '=', kind)
      .execute();
    await announceToSites(trx, points, ALL_HISTORY_MS);
  });
}

/** Keeps a choice for one site; the points it reaches are judged again. Throws 404 for a site or point not there. */
export async function chooseForSite(
  db: Db,
  siteId: number,
  scope: SiteScope,
  input: ChoiceInput,
  chosenBy: string,
): Promise<void> {
  const row = rowOfChoice(input, chosenBy);
  await inTransaction(db, async (trx) => {
    const pointIds = await pointsInScope(trx, siteId, scope);
    const { kind, pointId } = scope;
    await trx
      .insertInto('site_limit_choice')
      .values({ ...row, site_id: siteId, kind, point_id: pointId })
      .execute();
    await announceChange(trx, siteId, pointIds, ALL_HISTORY_MS);
  });
}

async function pointsInScope(
  trx: Transaction<Database>,
  siteId: number,
  scope: SiteScope,
): Promise<number[]> {
  const site = trx.selectFrom('site').select('site_id').where('site_id', '=', siteId);
  if (!(await site.executeTakeFirst())) throw new NotFound('site', siteId);
  const points = await trx
    .selectFrom('point')
    .select(['point_id', 'kind'])
    .where('site_id', '=', siteId)
    .execute();
  const reached = points.filter(({ point_id, kind }) =>
    scope.pointId === null ? kind === scope.kind : point_id === scope.pointId,
  );
  if (scope.pointId !== null && reached.length === 0) throw new NotFound('point', scope.pointId);
  return reached.map(({ point_id }) => point_id);
}

function rowOfChoice({ setId, changes, reason }: ChoiceInput, chosenBy: string) {
  if (findLimitSet(setId) === null)
    throw new InvalidInput({ setId: `there is no limit set "${setId}": choose one of the list` });
  return { set_id: setId, changes: JSON.stringify(changes), reason, chosen_by: chosenBy };
}

/** Newest first; of one moment, the later one. */
export function newestFirst(choices: readonly LimitChoice[]): LimitChoice[] {
  return [...choices].sort((a, b) => b.chosenAtMs - a.chosenAtMs || b.choiceId - a.choiceId);
}

/** What was chosen last for just this scope; null when nobody chose for it. */
export function chosenFor(choices: readonly LimitChoice[], scope: SiteScope) {
  const same = choices.filter(({ kind, pointId }) => kind === scope.kind && pointId === scope.pointId);
  const [newest] = newestFirst(same);
  if (newest === undefined) return null;
  const { setId, changes, reason } = newest;
  return { setId, changes, reason };
}
