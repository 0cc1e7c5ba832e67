import type { Modulation } from '../../../ingest/plan/channelPlan.ts';
import type { Limit, LimitSet } from '../limitSet.ts';

const DIGITAL: readonly Modulation[] = ['qam64', 'qam256', '8vsb', 'ofdm'];

function practice(limit: Omit<Limit, 'effect' | 'source' | 'sureness'>): Limit {
  return { effect: 'agreed', source: 'distribution input', sureness: 'practice', ...limit };
}

/**
 * What a provider hands over so that the building's own distribution can work: a flat 20 dBmV for digital, 24 to
 * 26 dBmV for analogue, MER of 38 dB. The window of 3 dB either side and those of tilt and flatness are practice as well.
 */
export const distributionInput: LimitSet = {
  id: 'distribution-input',
  name: 'Distribution input, common practice',
  defaultFor: ['handoff', 'gear-input'],
  source: 'common practice, no source',
  limits: [
    ...DIGITAL.map((modulation) =>
      practice({ quantity: 'level', modulation, min: 17, target: 20, max: 23, unit: 'dBmV' }),
    ),
    practice({ quantity: 'level', modulation: 'analogue', min: 24, target: 25, max: 26, unit: 'dBmV' }),
    practice({ quantity: 'mer', modulation: 'qam64', min: 38, unit: 'dB' }),
    practice({ quantity: 'mer', modulation: 'qam256', min: 38, unit: 'dB' }),
    practice({ quantity: 'mer', modulation: 'ofdm', min: 38, unit: 'dB' }),
    practice({ quantity: 'mer', modulation: '8vsb', min: 27, unit: 'dB' }),
    {
      quantity: 'cnr',
      modulation: 'analogue',
      min: 45,
      unit: 'dB',
      effect: 'agreed',
      source: 'UFGS-16785A, Table IIa, page 11 (what the receiver input needs)',
      sureness: 'read',
    },
    practice({ quantity: 'tilt', min: -3, target: 0, max: 3, unit: 'dB' }),
    practice({ quantity: 'flatness', max: 6, unit: 'dB' }),
  ],
};
