import { median } from '../../ingest/signal/median.ts';
import { MAD_TO_SD, medianAbsoluteDeviation } from '../../ingest/signal/medianAbsoluteDeviation.ts';
import type { Sweep } from '../../ingest/sweep.ts';

/** One carrier over a window of sweeps; values are medians, spreads standard deviations by way of the MAD. */
export interface CarrierMedians {
  readonly freqMhz: number;
  readonly levelDbmv: number | null;
  readonly levelSpreadDb: number | null;
  readonly merDb: number | null;
  readonly merSpreadDb: number | null;
  readonly cnrDb: number | null;
  /** Sweeps that looked here, and those of them that found nothing. */
  readonly looked: number;
  readonly lost: number;
}

/**
 * What each carrier read over the sweeps, in rising frequency. Grids may differ from sweep to sweep; a carrier
 * speaks through the sweeps that looked for it, and has no level when more of them lost it than found it.
 */
export function windowMedians(sweeps: readonly Sweep[]): CarrierMedians[] {
  const carriers = new Map<number, Carrier>();
  const at = (freqMhz: number): Carrier => {
    const key = Math.round(freqMhz * 1e6);
    const carrier = carriers.get(key) ?? { freqMhz, level: [], mer: [], cnr: [], lost: 0 };
    carriers.set(key, carrier);
    return carrier;
  };

  for (const sweep of sweeps) {
    sweep.freqMhz.forEach((freqMhz, i) => {
      const carrier = at(freqMhz);
      carrier.level.push(sweep.levelDbmv[i] ?? null);
      carrier.mer.push(sweep.merDb?.[i] ?? null);
      carrier.cnr.push(sweep.cnrDb?.[i] ?? null);
    });
    for (const freqMhz of sweep.lostMhz) at(freqMhz).lost++;
  }
  return [...carriers.values()].sort((a, b) => a.freqMhz - b.freqMhz).map(toMedians);
}

interface Carrier {
  readonly freqMhz: number;
  readonly level: (number | null)[];
  readonly mer: (number | null)[];
  readonly cnr: (number | null)[];
  lost: number;
}

function toMedians({ freqMhz, level, mer, cnr, lost }: Carrier): CarrierMedians {
  const found = level.filter((value) => value !== null).length;
  const present = found > lost;
  return {
    freqMhz,
    levelDbmv: present ? median(level) : null,
    levelSpreadDb: present ? spread(level) : null,
    merDb: present ? median(mer) : null,
    merSpreadDb: present ? spread(mer) : null,
    cnrDb: present ? median(cnr) : null,
    looked: level.length + lost,
    lost,
  };
}

function spread(values: readonly (number | null)[]): number | null {
  const deviation = medianAbsoluteDeviation(values);
  return deviation === null ? null : deviation * MAD_TO_SD;
}
