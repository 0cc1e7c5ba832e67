import type { Transaction } from 'kysely';
import { stableShare } from '../../ingest/schedule/stableShare.ts';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import type { Database, ProbeRow } from '../../ingest/store/schema.ts';
import { InvalidInput, NotFound } from '../errors.ts';
import type { ChangeProbe, NewProbe } from '../schemas/probes.ts';
import { isUniqueViolation } from '../setup/constraint.ts';
import { sealedAfter, sealedFirst } from './changeSecrets.ts';
import { checked } from './checked.ts';
import { followSchedule } from './followSchedule.ts';
import { probeKind } from './probeKinds.ts';
import { timesFrom } from './timesFrom.ts';

type Trx = Transaction<Database>;

interface SetUp {
  /** The server's own secret. */
  readonly secret: string;
  readonly by: string;
  readonly nowMs: number;
}

/** Adds a probe and has it read for the first time, out of turn, unless it begins paused. Throws InvalidInput. */
export function addProbe(
  db: Db,
  siteId: number,
  probe: NewProbe,
  { secret, by, nowMs }: SetUp,
): Promise<number> {
  return inTransaction(db, async (trx) => {
    const zone = await zoneOf(trx, siteId);
    await checkPoint(trx, siteId, probe.pointId);
    const { settings, secrets, schedule, enabled } = probe;
    const kind = probeKind(probe.kind);
    const instrumentKey = kind.instrumentKey(settings);
    const sealed = sealedFirst(kind, settings, instrumentKey, secrets, secret);
    const place = stableShare(String(siteId), String(probe.pointId), instrumentKey);
    const times = timesFrom(schedule, zone, place, nowMs);

    await knowInstrument(trx, instrumentKey);
    const { probe_id } = await trx
      .insertInto('probe')
      .values({
        site_id: siteId,
        point_id: probe.pointId,
        name: probe.name,
        kind: probe.kind,
        settings: JSON.stringify(settings),
        sealed,
        instrument_key: instrumentKey,
        schedule: JSON.stringify(schedule),
        interval_s: times.intervalS,
        place,
        timeout_s: probe.timeoutS,
        floor_s: probe.floorS,
        enabled,
        due_at: enabled ? times.dueAt : null,
        wake_at: enabled ? new Date(nowMs) : null,
        asked_at: enabled ? new Date(nowMs) : null,
        asked_by: enabled ? by : null,
        created_by: by,
      })
      .returning('probe_id')
      .executeTakeFirstOrThrow()
      .catch(explainTakenName);
    await followSchedule(trx, siteId, probe.pointId);
    return probe_id;
  });
}

/** Changes what `change` names. A run under way goes on; what comes next is worked out anew. Throws InvalidInput or NotFound. */
export function changeProbe(
  db: Db,
  siteId: number,
  probeId: number,
  change: ChangeProbe,
  { secret, nowMs }: Omit<SetUp, 'by'>,
): Promise<void> {
  return inTransaction(db, async (trx) => {
    const zone = await zoneOf(trx, siteId);
    const row = await lockProbe(trx, siteId, probeId);
    const pointId = change.pointId ?? row.point_id;
    if (change.pointId !== undefined) await checkPoint(trx, siteId, pointId);

    const kind = probeKind(row.kind);
    const settings =
      change.settings === undefined
        ? row.settings
        : checked(kind.settingsSchema, change.settings, 'settings');
    const secrets =
      change.secrets === undefined ? undefined : checked(kind.secretsSchema, change.secrets, 'secrets');
    const schedule = change.schedule ?? row.schedule;
    const enabled = change.enabled ?? row.enabled;
    const instrumentKey = kind.instrumentKey(settings);
    const sealed = sealedAfter(row, settings, instrumentKey, secrets, secret);
    const times = timesFrom(schedule, zone, row.place, nowMs);
    const isSame = enabled === row.enabled && change.schedule === undefined;
    const dueAt = isSame ? row.due_at : enabled ? times.dueAt : null;

    await knowInstrument(trx, instrumentKey);
    await trx
      .updateTable('probe')
      .set({
        point_id: pointId,
        name: change.name ?? row.name,
        settings: JSON.stringify(settings),
        sealed,
        instrument_key: instrumentKey,
        schedule: JSON.stringify(schedule),
        interval_s: times.intervalS,
        timeout_s: change.timeoutS ?? row.timeout_s,
        floor_s: change.floorS ?? row.floor_s,
        enabled,
        due_at: dueAt,
        ...(!isSame && row.claim === null && { wake_at: dueAt, asked_at: null, asked_by: null }),
      })
      .where('site_id', '=', siteId)
      .where('probe_id', '=', probeId)
      .execute()
      .catch(explainTakenName);
    await followSchedule(trx, siteId, pointId);
  });
}

/** Removes a probe and the record of its runs; its sweeps stay. Throws NotFound. */
export function removeProbe(db: Db, siteId: number, probeId: number): Promise<void> {
  return inTransaction(db, async (trx) => {
    await lockProbe(trx, siteId, probeId);
    for (const table of ['probe_run', 'probe_day', 'probe'] as const) {
      await trx.deleteFrom(table).where('site_id', '=', siteId).where('probe_id', '=', probeId).execute();
    }
  });
}

async function knowInstrument(trx: Trx, instrumentKey: string): Promise<void> {
  await trx
    .insertInto('probe_instrument')
    .values({ instrument_key: instrumentKey })
    .onConflict((conflict) => conflict.doNothing())
    .execute();
}

async function zoneOf(trx: Trx, siteId: number): Promise<string> {
  const site = await trx
    .selectFrom('site')
    .select('time_zone')
    .where('site_id', '=', siteId)
    .executeTakeFirst();
  if (!site) throw new NotFound('site', siteId);
  return site.time_zone;
}

async function checkPoint(trx: Trx, siteId: number, pointId: number): Promise<void> {
  const point = await trx
    .selectFrom('point')
    .select('name')
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .executeTakeFirst();
  if (!point) throw new InvalidInput({ pointId: `the site has no point ${pointId}` });
}

async function lockProbe(trx: Trx, siteId: number, probeId: number): Promise<ProbeRow> {
  const row = await trx
    .selectFrom('probe')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('probe_id', '=', probeId)
    .forUpdate()
    .executeTakeFirst();
  if (!row) throw new NotFound('probe', probeId);
  return row;
}

function explainTakenName(error: unknown): never {
  if (isUniqueViolation(error))
    throw new InvalidInput({ name: 'is taken by another probe of the site: choose another' });
  throw error;
}
