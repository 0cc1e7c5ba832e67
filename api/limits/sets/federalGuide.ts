import type { Limit, LimitSet } from '../limitSet.ts';

const SOURCE = 'UFGS-16785A, Table IIa, page 11';

function row(limit: Omit<Limit, 'source' | 'sureness'>): Limit {
  return { source: SOURCE, sureness: 'read', ...limit };
}

/** Television receiver input in a building, United States federal guide specification. */
export const federalGuide: LimitSet = {
  id: 'federal-guide',
  name: 'Federal guide specification, receiver input',
  defaultFor: [],
  source: SOURCE,
  limits: [
    row({ quantity: 'level', min: 3, max: 12, unit: 'dBmV', effect: 'service' }),
    row({ quantity: 'cnr', modulation: 'analogue', min: 45, unit: 'dB', effect: 'service' }),
    row({ quantity: 'adjacent', max: 3, unit: 'dB', effect: 'agreed' }),
    row({ quantity: 'spread', max: 12, unit: 'dB', effect: 'agreed' }),
    row({ quantity: 'stability-1h', max: 0.5, unit: 'dB', effect: 'agreed' }),
    row({ quantity: 'stability-24h', max: 2, unit: 'dB', effect: 'agreed' }),
  ],
};
