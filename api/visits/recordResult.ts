import type { z } from '@hono/zod-openapi';
import type { Db } from '../../ingest/store/database.ts';
import type { VisitOutcome } from '../../ingest/store/schema.ts';
import { note } from '../alerts/actions.ts';
import { InvalidInput, NotFound } from '../errors.ts';
import type { NewVisitResultSchema } from '../schemas/visits.ts';

type NewResult = z.output<typeof NewVisitResultSchema>;

/**
 * Keeps what was found and done at a point. A result that is there already stays as it is, so a device may send until it is
 * answered. A device's clock that runs ahead is set back to now.
 *
 * @returns whether it is new
 * @throws NotFound when there is no such site
 * @throws InvalidInput for a point or a visit of another site, an alert that isn't there, or an end before the start
 */
export async function recordResult(
  db: Db,
  siteId: number,
  result: NewResult,
  by: string,
  nowMs: number,
): Promise<boolean> {
  await checkNamed(db, siteId, result);
  const doneMs = Math.min(Date.parse(result.doneAt), nowMs);
  const beganMs = Math.min(Date.parse(result.beganAt), doneMs);
  const kept = await db
    .insertInto('visit_result')
    .values({
      site_id: siteId,
      result_id: result.resultId,
      visit_id: result.visitId,
      alert_id: result.alertId,
      point_id: result.pointId,
      outcome: result.outcome,
      found: result.found,
      done: result.done,
      parts: result.parts,
      read_channel: result.readChannel,
      level_before_dbmv: result.levelBeforeDbmv,
      level_after_dbmv: result.levelAfterDbmv,
      mer_before_db: result.merBeforeDb,
      mer_after_db: result.merAfterDb,
      began_at: new Date(beganMs),
      done_at: new Date(doneMs),
      recorded_by: by,
      received_at: new Date(nowMs),
    })
    .onConflict((conflict) => conflict.columns(['site_id', 'result_id']).doNothing())
    .executeTakeFirst();
  const isNew = kept.numInsertedOrUpdatedRows === 1n;
  if (result.alertId !== null && isNew) {
    await note(db, result.alertId, { by, why: resultInWords(result) }, nowMs);
  }
  return isNew;
}

async function checkNamed(
  db: Db,
  siteId: number,
  { pointId, visitId, alertId, beganAt, doneAt }: NewResult,
): Promise<void> {
  const site = db.selectFrom('site').select('site_id').where('site_id', '=', siteId);
  if (!(await site.executeTakeFirst())) throw new NotFound('site', siteId);

  const faults: Record<string, string> = {};
  if (Date.parse(doneAt) < Date.parse(beganAt)) faults['doneAt'] = 'lies before beganAt';
  const point = db.selectFrom('point').select('point_id').where('site_id', '=', siteId);
  if (!(await point.where('point_id', '=', pointId).executeTakeFirst()))
    faults['pointId'] = `this site has no point ${pointId}`;
  if (visitId !== null) {
    const visit = db.selectFrom('visit').select('visit_id').where('site_id', '=', siteId);
    if (!(await visit.where('visit_id', '=', visitId).executeTakeFirst()))
      faults['visitId'] = `this site has no visit ${visitId}`;
  }
  if (alertId !== null) {
    const alert = db.selectFrom('alert').select('alert_id').where('alert_id', '=', alertId);
    if (!(await alert.where('site_id', '=', siteId).executeTakeFirst()))
      faults['alertId'] = `this site has no alert ${alertId}`;
  }
  if (Object.keys(faults).length > 0) throw new InvalidInput(faults);
}

const OUTCOME_IN_WORDS: Readonly<Record<VisitOutcome, string>> = {
  repaired: 'repaired, sweeps have yet to confirm it',
  'nothing-found': 'looked, found nothing',
  reported: 'reported to the provider',
  'not-done': 'not done',
};

/** For the record of the alert: "Visit: repaired, … Found: wet connector. Done: new connector." */
function resultInWords({ outcome, found, done, parts }: NewResult): string {
  const told = Object.entries({ Found: found, Done: done, Parts: parts }).filter(([, text]) => text !== '');
  return [
    `Visit: ${OUTCOME_IN_WORDS[outcome]}.`,
    ...told.map(([term, text]) => `${term}: ${ended(text)}`),
  ].join(' ');
}

const ended = (text: string) => (/[.!?]$/.test(text) ? text : `${text}.`);
