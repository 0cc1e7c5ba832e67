import { acceptBaseline } from '../../../api/baseline/acceptBaseline.ts';
import type { Db } from '../../../ingest/store/database.ts';
import { givenDrift } from '../../support/givenFindings.ts';
import { aSweep, givenPlan, givenPoint, givenSite, givenSweeps } from '../../support/givenSite.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
export const INSTALLED = Date.parse('2026-10-01T12:00:00Z');
export const TO = Date.parse('2026-11-12T20:00:00Z');
export const FROM = TO - 30 * 24 * HOUR_MS;

export interface ReportSite {
  readonly siteId: number;
  readonly handoff: number;
  readonly floor3: number;
}

/**
 * A handoff accepted at 20 dBmV that reads 15 now, channel 2 lost, and a drift there since 20 October; behind it an
 * outlet without a baseline.
 */
export async function reportSite(db: Db): Promise<ReportSite> {
  const planId = await givenPlan(db);
  const siteId = await givenSite(db, { name: 'Alder <b>Court</b>', outlets: 48, plan_id: planId });
  const handoff = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
  const floor3 = await givenPoint(db, siteId, { name: 'floor-3', label: 'floor 3', fed_by: handoff });
  const then = [0, 15, 30, 45].map((minute) => aSweep(INSTALLED + minute * MINUTE_MS, { levelAt: () => 20 }));
  await givenSweeps(db, siteId, handoff, then);
  await acceptBaseline(
    db,
    { siteId, pointId: handoff, fromMs: INSTALLED, toMs: INSTALLED + HOUR_MS },
    { acceptedBy: 'Ada Field', acceptedAtMs: INSTALLED + 2 * HOUR_MS },
  );
  await givenSweeps(db, siteId, handoff, nowSweeps());
  await givenSweeps(db, siteId, floor3, [aSweep(TO - HOUR_MS)]);
  await givenDrift(db, siteId, handoff, Date.parse('2026-10-20T00:00:00Z'));
  for (let hour = 0; hour < 40; hour++) {
    await db
      .insertInto('hourly')
      .values({
        site_id: siteId,
        point_id: handoff,
        hour: new Date(FROM + hour * HOUR_MS),
        sweeps: 4,
        level_dbmv: 20 - hour / 10,
        tilt_db: 0,
        mer_margin_db: 2,
      })
      .execute();
  }
  return { siteId, handoff, floor3 };
}

/** Three at 15 dBmV and a wild one, all of them without channel 2 (117 MHz). */
function nowSweeps() {
  const levels = [15, 15.2, 14.9, 3];
  return levels.map((level, i) => {
    const sweep = aSweep(TO - (levels.length - i) * 15 * MINUTE_MS, { levelAt: () => level });
    const kept = sweep.freqMhz.map((mhz) => mhz !== 117);
    const only = <T>(list: readonly T[]) => list.filter((_, at) => kept[at]);
    return {
      ...sweep,
      freqMhz: only(sweep.freqMhz),
      levelDbmv: only(sweep.levelDbmv),
      merDb: only(sweep.merDb!),
      lostMhz: [117],
    };
  });
}
