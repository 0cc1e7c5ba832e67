import type { Side, Verdict } from '../schemas/common.ts';
import type { FleetRow } from '../schemas/fleet.ts';
import { stripView, worstStrip } from './strip.ts';

/** A site beside its kept rank, as the store gives them; the rank's columns are null before the first assessment. */
export interface FleetRecord {
  readonly site_id: number;
  readonly name: string;
  readonly town: string;
  readonly provider_name: string | null;
  readonly outlets: number;
  readonly time_zone: string;
  readonly outlet_days: number | null;
  readonly verdict: Verdict | null;
  readonly side: Side | null;
  readonly sentence: string | null;
  readonly since: Date | null;
  readonly days_to_limit: number | null;
  readonly last_sweep_at: Date | null;
  readonly strip: number[] | null;
  readonly alerts: number;
}

const NOT_ASSESSED = 'Newly added: not assessed yet.';

/** The row as the fleet and site pages show it, without its place in the fleet. */
export function fleetRow(record: FleetRecord): Omit<FleetRow, 'rank'> {
  return {
    siteId: record.site_id,
    name: record.name,
    town: record.town,
    provider: record.provider_name,
    outlets: record.outlets,
    outletDays: record.outlet_days ?? 0,
    verdict: record.verdict ?? 'no-baseline',
    side: record.side,
    sentence: record.sentence ?? NOT_ASSESSED,
    since: record.since?.toISOString() ?? null,
    daysToLimit: record.days_to_limit,
    lastSweepAt: record.last_sweep_at?.toISOString() ?? null,
    timeZone: record.time_zone,
    alerts: record.alerts,
    ...stripView(record.strip ?? worstStrip([])),
  };
}
