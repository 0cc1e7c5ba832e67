import type { Limit, LimitSet } from '../limitSet.ts';

const SOURCE = '47 CFR 76.605';

function analogue(limit: Omit<Limit, 'modulation' | 'sureness'> & Partial<Limit>): Limit {
  return { modulation: 'analogue', sureness: 'after', ...limit };
}

/** Analogue television at the subscriber terminal, United States; paragraphs as numbered in the 2014 text. */
export const fccAnalogue: LimitSet = {
  id: 'fcc-analogue',
  name: '47 CFR 76.605, analogue at the terminal',
  defaultFor: [],
  source: SOURCE,
  limits: [
    analogue({
      quantity: 'level',
      min: 0,
      unit: 'dBmV',
      effect: 'service',
      source: `${SOURCE}(a)(3)`,
      sureness: 'read',
    }),
    analogue({ quantity: 'cnr', min: 43, unit: 'dB', effect: 'service', source: `${SOURCE}(a)(7)` }),
    analogue({ quantity: 'adjacent', max: 3, unit: 'dB', effect: 'agreed', source: `${SOURCE}(a)(4)(i)` }),
    analogue({
      quantity: 'spread',
      maxByTopMhz: [
        { upToMhz: 300, max: 10 },
        { upToMhz: 400, max: 11 },
        { upToMhz: 500, max: 12 },
        { upToMhz: 600, max: 13 },
        { upToMhz: 700, max: 14 },
        { upToMhz: 800, max: 15 },
        { upToMhz: 900, max: 16 },
        { upToMhz: 1000, max: 17 },
      ],
      unit: 'dB',
      effect: 'agreed',
      source: `${SOURCE}(a)(4)(ii)`,
    }),
    analogue({
      quantity: 'variation-6-months',
      max: 8,
      unit: 'dB',
      effect: 'agreed',
      source: `${SOURCE}(a)(4)`,
    }),
  ],
};
