import type { Modulation } from '../../../ingest/plan/channelPlan.ts';
import type { Limit, LimitSet } from '../limitSet.ts';

function floor(quantity: 'mer' | 'cnr', modulation: Modulation, min: number): Limit {
  return {
    quantity,
    modulation,
    min,
    unit: 'dB',
    effect: 'agreed',
    source: '3 dB above what the terminal needs',
    sureness: 'practice',
  };
}

/**
 * Between the handoff and the outlets: level and tilt are what the design made them, so the baseline alone judges
 * them; MER and CNR must leave 3 dB for what is still to come.
 */
export const inBuildingLine: LimitSet = {
  id: 'in-building-line',
  name: 'In-building line, common practice',
  defaultFor: ['gear-output', 'amplifier', 'splitter'],
  source: 'common practice, no source',
  limits: [
    floor('mer', 'qam64', 30),
    floor('mer', 'qam256', 36),
    floor('mer', '8vsb', 21),
    floor('mer', 'ofdm', 37),
    floor('cnr', 'analogue', 46),
  ],
};
