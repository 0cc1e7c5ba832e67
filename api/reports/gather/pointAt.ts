import type { Db } from '../../../ingest/store/database.ts';
import { loadPoint, type PointContext } from '../../baseline/loadPoint.ts';
import { limitSetFor } from '../../limits/limitSetFor.ts';
import { loadLimitChoices } from '../../limits/loadLimitChoices.ts';

/** A point with what was agreed about it at a moment: choices of limits made later don't count. */
export async function pointAt(db: Db, siteId: number, pointId: number, atMs: number): Promise<PointContext> {
  const context = await loadPoint(db, siteId, pointId);
  const { fleet, site } = await loadLimitChoices(db, siteId);
  const made = ({ chosenAtMs }: { readonly chosenAtMs: number }) => chosenAtMs <= atMs;
  const choices = { fleet: fleet.filter(made), site: site.filter(made) };
  return { ...context, limitSet: limitSetFor({ pointId, kind: context.point.kind }, choices) };
}
