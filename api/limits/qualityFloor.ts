import type { Modulation } from '../../ingest/plan/channelPlan.ts';
import { limitFor } from './limitFor.ts';
import type { Limit, LimitSet } from './limitSet.ts';

const DOCSIS = 'DOCSIS RF interface, receiver at post-FEC 1e-8';

/** What receivers need, where a limit set doesn't say. Below it pictures fail. */
const RECEIVER_THRESHOLDS: Readonly<Record<Modulation, Limit>> = {
  analogue: threshold('cnr', 'analogue', 43, '47 CFR 76.605(a)(7)', 'after'),
  qam64: threshold('mer', 'qam64', 23.5, DOCSIS, 'after'),
  qam256: threshold('mer', 'qam256', 30, DOCSIS, 'after'),
  '8vsb': threshold('mer', '8vsb', 15, 'ATSC A/74', 'after'),
  ofdm: threshold('mer', 'ofdm', 34, 'a block that carries 1024-QAM', 'practice'),
};

function threshold(
  quantity: 'mer' | 'cnr',
  modulation: Modulation,
  min: number,
  source: string,
  sureness: Limit['sureness'],
): Limit {
  return { quantity, modulation, min, unit: 'dB', effect: 'service', source, sureness };
}

/** The limit that margin is counted from: always with a minimum. */
export type QualityFloor = Limit & { readonly quantity: 'mer' | 'cnr'; readonly min: number };

/**
 * The least MER (digital) or CNR (analogue) that a channel needs: what the set asks, otherwise what receivers need.
 * Null for a carrier outside the plan unless the set has a limit for all modulations.
 */
export function qualityFloor(
  limitSet: Pick<LimitSet, 'limits'>,
  modulation: Modulation | null,
): QualityFloor | null {
  const quantity = modulation === 'analogue' ? 'cnr' : 'mer';
  const asked = limitFor(limitSet, quantity, modulation);
  const limit = asked?.min !== undefined ? asked : modulation && RECEIVER_THRESHOLDS[modulation];
  return limit ? { ...limit, quantity, min: limit.min! } : null;
}
