import { sql, type Transaction } from 'kysely';
import { backOffMs } from '../../ingest/schedule/backOff.ts';
import type { Db } from '../../ingest/store/database.ts';
import type { Database, ProbeRow } from '../../ingest/store/schema.ts';
import type { ClaimedProbe } from './claimDue.ts';
import { probeTimes } from './probeTimes.ts';
import type { RunResult } from './runResult.ts';

type Trx = Transaction<Database>;

/** A reading that fails is tried so often in all, unless the run before failed too: then once, for it is no passing trouble. */
export const MOST_TRIES = 3;
const RETRY_PAUSES = { firstMs: 10_000, mostMs: 60_000 };
/** Faults that another try won't mend. */
const LASTING = ['secrets', 'address', 'sweep-refused', 'server-lost'];

/**
 * Ends one try: lets the instrument go, and either sets the next try or ends the run, records it and sets the next time. Answers
 * false, and changes nothing, when another server has taken the probe over or it was removed.
 */
export function finishRun(
  db: Db,
  claimed: ClaimedProbe,
  result: RunResult,
  nowMs: number,
  random: () => number = Math.random,
): Promise<boolean> {
  return db.transaction().execute(async (trx) => {
    const row = await lockClaimed(trx, claimed);
    if (row === undefined) return false;
    await restInstrument(
      trx,
      claimed.instrumentKey,
      nowMs + (result.outcome === 'held' ? 0 : row.floor_s * 1000),
    );

    if (result.outcome === 'failed' && isTriedAgain(row, result)) {
      const wakeMs = nowMs + backOffMs(row.tries, RETRY_PAUSES, null, random);
      await setProbe(trx, row, { ...RELEASED, wake_at: new Date(wakeMs) });
      return true;
    }
    const dueMs = row.enabled ? probeTimes(row.schedule, row.time_zone, row.place).next(nowMs) : null;
    const dueAt = dueMs === null ? null : new Date(dueMs);
    await setProbe(trx, row, {
      ...RELEASED,
      ...RUN_OVER,
      due_at: dueAt,
      wake_at: dueAt,
      ...standingAfter(row, result, nowMs),
    });
    await recordRun(trx, row, result, nowMs);
    return true;
  });
}

const RELEASED = { claim: null, claimed_by: null } as const;
const RUN_OVER = { started_at: null, tries: 0, asked_at: null, asked_by: null } as const;

type ClaimedRow = ProbeRow & { readonly time_zone: string };
type Failure = Extract<RunResult, { outcome: 'failed' }>;

function lockClaimed(trx: Trx, { siteId, probeId, claim }: ClaimedProbe): Promise<ClaimedRow | undefined> {
  return trx
    .selectFrom('probe')
    .innerJoin('site', 'site.site_id', 'probe.site_id')
    .selectAll('probe')
    .select('site.time_zone')
    .where('probe.site_id', '=', siteId)
    .where('probe.probe_id', '=', probeId)
    .where('probe.claim', '=', claim)
    .forUpdate('probe')
    .executeTakeFirst();
}

async function restInstrument(trx: Trx, instrumentKey: string, untilMs: number): Promise<void> {
  await trx
    .updateTable('probe_instrument')
    .set({ free_at: new Date(untilMs) })
    .where('instrument_key', '=', instrumentKey)
    .execute();
}

function isTriedAgain({ enabled, failures, tries, asked_at }: ClaimedRow, { code }: Failure): boolean {
  return enabled && asked_at === null && failures === 0 && tries < MOST_TRIES && !LASTING.includes(code);
}

async function setProbe(
  trx: Trx,
  { site_id, probe_id }: ClaimedRow,
  columns: Partial<Omit<ProbeRow, 'schedule' | 'settings'>>,
): Promise<void> {
  await trx
    .updateTable('probe')
    .set(columns)
    .where('site_id', '=', site_id)
    .where('probe_id', '=', probe_id)
    .execute();
}

function standingAfter(row: ClaimedRow, result: RunResult, nowMs: number) {
  const now = new Date(nowMs);
  if (result.outcome === 'held') return {};
  if (result.outcome === 'read') {
    const noError = { last_error_code: null, last_error_text: null, last_error_action: null };
    return { failures: 0, last_run_at: now, last_success_at: now, ...noError };
  }
  const { code, message, action } = result;
  const error = { last_error_code: code, last_error_text: message, last_error_action: action };
  return { failures: row.failures + 1, last_run_at: now, ...error };
}

async function recordRun(trx: Trx, row: ClaimedRow, result: RunResult, nowMs: number): Promise<void> {
  const { site_id, probe_id } = row;
  const error = result.outcome === 'failed' ? result : null;
  const isScheduled = row.asked_at === null;
  await trx
    .insertInto('probe_run')
    .values({
      site_id,
      probe_id,
      due_at: isScheduled ? row.due_at : null,
      started_at: row.started_at ?? new Date(nowMs),
      ended_at: new Date(nowMs),
      outcome: result.outcome,
      tries: row.tries,
      asked_by: row.asked_by,
      error_code: error?.code ?? null,
      error_text: error?.message ?? null,
      error_action: error?.action ?? null,
      sweeps: result.outcome === 'read' ? result.sweeps : 0,
      told: result.outcome === 'read' && !isScheduled ? result.told : null,
    })
    .execute();
  if (result.outcome === 'held') return;
  const day = new Date(nowMs).toISOString().slice(0, 10);
  await sql`
    insert into probe_day (site_id, probe_id, day, runs, failed)
    values (${site_id}, ${probe_id}, ${day}, 1, ${error === null ? 0 : 1})
    on conflict (site_id, probe_id, day) do update
    set runs = probe_day.runs + excluded.runs, failed = probe_day.failed + excluded.failed`.execute(trx);
}
