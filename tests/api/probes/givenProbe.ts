import { addProbe } from '../../../api/probes/setUpProbes.ts';
import { type NewProbeInput, NewProbeSchema } from '../../../api/schemas/probes.ts';
import type { Db } from '../../../ingest/store/database.ts';
import { givenPoint, givenSite } from '../../support/givenSite.ts';
import { SECRET } from '../../support/testApp.ts';

let named = 0;

export interface GivenProbe {
  readonly siteId: number;
  readonly pointId: number;
  readonly probeId: number;
}

/** A modem of its own address at a handoff of a site of its own, read every five minutes, set up at `nowMs`. */
export async function givenProbe(
  db: Db,
  nowMs: number,
  changes: Partial<NewProbeInput> = {},
  siteId?: number,
): Promise<GivenProbe> {
  const number = ++named;
  const site = siteId ?? (await givenSite(db));
  const pointId = await givenPoint(db, site, { name: `point-${number}` });
  const probe = NewProbeSchema.parse({
    pointId,
    name: `modem ${number}`,
    kind: 'modem',
    settings: { host: `192.0.2.${number % 250}`, port: 1000 + number, access: { version: '2c' } },
    secrets: { community: 'quiet words' },
    schedule: { kind: 'every', intervalS: 300 },
    ...changes,
  });
  const probeId = await addProbe(db, site, probe, { secret: SECRET, by: 'Ada', nowMs });
  return { siteId: site, pointId, probeId };
}

/** As {@link givenProbe}, but past its first reading: its next one is the schedule's. */
export async function givenScheduledProbe(
  db: Db,
  nowMs: number,
  changes: Partial<NewProbeInput> = {},
  siteId?: number,
): Promise<GivenProbe & { readonly dueMs: number }> {
  const given = await givenProbe(db, nowMs, changes, siteId);
  const row = await db
    .updateTable('probe')
    .set((eb) => ({ asked_at: null, asked_by: null, wake_at: eb.ref('due_at') }))
    .where('site_id', '=', given.siteId)
    .where('probe_id', '=', given.probeId)
    .returning('due_at')
    .executeTakeFirstOrThrow();
  return { ...given, dueMs: row.due_at!.getTime() };
}
