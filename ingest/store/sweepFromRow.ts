import type { Sweep } from '../sweep.ts';

/** A stored sweep joined with its grid's frequencies. */
export interface StoredSweep {
  readonly at: Date;
  readonly instrument: string;
  readonly ambient_cc: number | null;
  readonly freq_hz: readonly number[];
  readonly level_cdbmv: readonly (number | null)[];
  readonly mer_cdb: readonly (number | null)[] | null;
  readonly cnr_cdb: readonly (number | null)[] | null;
  readonly ber_pre: readonly (number | null)[] | null;
  readonly ber_post: readonly (number | null)[] | null;
  readonly lost_hz: readonly number[] | null;
}

/** The sweep as the rest of the program sees it: MHz, dB and °C instead of Hz and hundredths. */
export function sweepFromRow(row: StoredSweep): Sweep {
  return {
    atMs: row.at.getTime(),
    instrument: row.instrument,
    ambientC: row.ambient_cc === null ? null : row.ambient_cc / 100,
    freqMhz: row.freq_hz.map(hzToMhz),
    levelDbmv: fromHundredths(row.level_cdbmv),
    merDb: row.mer_cdb === null ? null : fromHundredths(row.mer_cdb),
    cnrDb: row.cnr_cdb === null ? null : fromHundredths(row.cnr_cdb),
    berPre: row.ber_pre,
    berPost: row.ber_post,
    lostMhz: (row.lost_hz ?? []).map(hzToMhz),
  };
}

function fromHundredths(values: readonly (number | null)[]): (number | null)[] {
  return values.map((value) => (value === null ? null : value / 100));
}

function hzToMhz(hz: number): number {
  return hz / 1e6;
}
