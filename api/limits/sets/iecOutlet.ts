import type { Modulation } from '../../../ingest/plan/channelPlan.ts';
import { dbuvToDbmv } from '../../../ingest/signal/dbuvToDbmv.ts';
import type { Limit, LimitSet } from '../limitSet.ts';

const SOURCE = 'EN/IEC 60728-1, system outlet';

function levelDbuv(modulation: Modulation, minDbuv: number, maxDbuv: number): Limit {
  return {
    quantity: 'level',
    modulation,
    min: dbuvToDbmv(minDbuv),
    max: dbuvToDbmv(maxDbuv),
    unit: 'dBmV',
    effect: 'service',
    source: SOURCE,
    sureness: 'quoted',
  };
}

function merDb(modulation: Modulation, min: number): Limit {
  return {
    quantity: 'mer',
    modulation,
    min,
    unit: 'dB',
    effect: 'service',
    source: SOURCE,
    sureness: 'after',
  };
}

/** Outlets in Europe and elsewhere; levels are given in dBµV there (60 dBµV = 0 dBmV). */
export const iecOutlet: LimitSet = {
  id: 'iec-60728-1',
  name: 'IEC 60728-1, system outlet',
  defaultFor: [],
  source: SOURCE,
  limits: [
    levelDbuv('analogue', 60, 77),
    levelDbuv('qam64', 47, 67),
    levelDbuv('qam256', 54, 74),
    merDb('qam64', 26),
    merDb('qam256', 32),
  ],
};
