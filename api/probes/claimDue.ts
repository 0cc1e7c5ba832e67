import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { ProbeKindName } from '../../ingest/store/schema.ts';

/** A probe that this server, and no other, reads now. */
export interface ClaimedProbe {
  readonly siteId: number;
  readonly probeId: number;
  readonly claim: string;
  readonly kind: ProbeKindName;
  readonly settings: Readonly<Record<string, unknown>>;
  readonly sealed: Buffer | null;
  readonly instrumentKey: string;
  readonly timeoutS: number;
  readonly dueAt: Date | null;
  readonly startedAt: Date;
  /** This one included; those that a dead server began count too. */
  readonly tries: number;
  /** Failed runs in a row before this one. */
  readonly failures: number;
  readonly askedBy: string | null;
  /** The point's name in sweeps. */
  readonly point: string;
  /** The site's zone, IANA. */
  readonly timeZone: string;
  readonly providerId: number | null;
}

/** A claim outlives its reading's time-out by this; whoever holds it longer is taken for dead, and another server takes over. */
export const CLAIM_GRACE_S = 15;

/**
 * Takes up to `limit` probes that are due and whose instruments are free, for the server `by`: those asked for first, then the longest
 * due. Row and instrument are taken in one statement, so that several servers share the queue and none reads an instrument while
 * another does. What a dead server held is due again once its claim is over.
 */
export async function claimDue(
  db: Db,
  { limit, by, nowMs }: { readonly limit: number; readonly by: string; readonly nowMs: number },
): Promise<ClaimedProbe[]> {
  const now = new Date(nowMs);
  const { rows } = await sql<ClaimedProbe>`
    with due as materialized (
      select probe.site_id, probe.probe_id, probe.instrument_key, probe.asked_at, probe.wake_at,
        ${now}::timestamptz + (probe.timeout_s + ${CLAIM_GRACE_S}::integer) * interval '1 second' as until
      from probe
      join probe_instrument instrument on instrument.instrument_key = probe.instrument_key
      where probe.wake_at <= ${now}
        and (probe.enabled or probe.asked_at is not null)
        and instrument.free_at <= ${now}
      order by probe.asked_at is null, probe.wake_at
      limit ${limit}
      for update of probe, instrument skip locked
    ), one_each as (
      select distinct on (instrument_key) * from due order by instrument_key, asked_at is null, wake_at
    ), instruments as (
      update probe_instrument set free_at = one_each.until
      from one_each where probe_instrument.instrument_key = one_each.instrument_key
    ), claimed as (
      update probe set
        claim = gen_random_uuid(), claimed_by = ${by}, wake_at = one_each.until,
        started_at = coalesce(probe.started_at, ${now}), tries = probe.tries + 1
      from one_each
      where probe.site_id = one_each.site_id and probe.probe_id = one_each.probe_id
      returning probe.*
    )
    select claimed.site_id as "siteId", claimed.probe_id as "probeId", claimed.claim, claimed.kind, claimed.settings, claimed.sealed,
      claimed.instrument_key as "instrumentKey", claimed.timeout_s as "timeoutS", claimed.due_at as "dueAt",
      claimed.started_at as "startedAt", claimed.tries, claimed.failures, claimed.asked_by as "askedBy",
      point.name as point, site.time_zone as "timeZone", site.provider_id as "providerId"
    from claimed
    join point on point.site_id = claimed.site_id and point.point_id = claimed.point_id
    join site on site.site_id = claimed.site_id`.execute(db);
  return rows;
}
