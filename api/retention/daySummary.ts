import type { Insertable } from 'kysely';
import { median } from '../../ingest/signal/median.ts';
import type { DailyMedianTable } from '../../ingest/store/schema.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { windowMedians } from '../baseline/windowMedians.ts';

/** What a day's sweeps of a point, at least one, leave when they are let go: medians by channel. Channels mostly lost are `lost_hz`. */
export function daySummary(
  sweeps: readonly Sweep[],
): Omit<Insertable<DailyMedianTable>, 'site_id' | 'point_id' | 'day'> {
  const carriers = windowMedians(sweeps);
  const gone = carriers.filter(({ levelDbmv, lost }) => levelDbmv === null && lost > 0);
  const found = carriers.filter((carrier) => !gone.includes(carrier));
  return {
    sweeps: sweeps.length,
    instruments: [...new Set(sweeps.map(({ instrument }) => instrument))].sort(),
    freq_hz: found.map(({ freqMhz }) => hz(freqMhz)),
    level_cdbmv: found.map(({ levelDbmv }) => hundredths(levelDbmv)),
    mer_cdb: unlessEmpty(found.map(({ merDb }) => hundredths(merDb))),
    cnr_cdb: unlessEmpty(found.map(({ cnrDb }) => hundredths(cnrDb))),
    lost_hz: gone.map(({ freqMhz }) => hz(freqMhz)),
    ambient_cc: hundredths(median(sweeps.map(({ ambientC }) => ambientC))),
  };
}

function hz(mhz: number): number {
  return Math.round(mhz * 1e6);
}

function hundredths(value: number | null): number | null {
  return value === null ? null : Math.round(value * 100);
}

function unlessEmpty(values: (number | null)[]): (number | null)[] | null {
  return values.every((value) => value === null) ? null : values;
}
