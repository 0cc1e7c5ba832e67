import type { Db } from '../../ingest/store/database.ts';
import type { ProbeRow } from '../../ingest/store/schema.ts';
import { NotFound } from '../errors.ts';

export interface ProbeSetUp {
  readonly name: string;
  readonly pointId: number;
  readonly kind: string;
  readonly settings: ProbeRow['settings'];
  readonly schedule: ProbeRow['schedule'];
  readonly timeoutS: number;
  readonly floorS: number;
  readonly enabled: boolean;
}

/** What people have set up of a probe, without its secrets and without how it is doing. Throws NotFound. */
export async function findProbeSetUp(db: Db, siteId: number, probeId: number): Promise<ProbeSetUp> {
  const row = await db
    .selectFrom('probe')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('probe_id', '=', probeId)
    .executeTakeFirst();
  if (!row) throw new NotFound('probe', probeId);
  const { name, point_id, kind, settings, schedule, timeout_s, floor_s, enabled } = row;
  return {
    name,
    pointId: point_id,
    kind,
    settings,
    schedule,
    timeoutS: timeout_s,
    floorS: floor_s,
    enabled,
  };
}
