import type { LimitSet } from '../limitSet.ts';

const SOURCE = 'ANSI/SCTE 40, RF transmission table';

/**
 * Digital cable at the subscriber terminal, United States. C/N is held against MER, which is the same while noise is the
 * only impairment and stricter otherwise. Analogue rows come from 47 CFR 76.605, 8-VSB and OFDM ones from practice.
 */
export const scte40: LimitSet = {
  id: 'scte-40',
  name: 'ANSI/SCTE 40, digital at the terminal',
  defaultFor: ['outlet'],
  source: 'ANSI/SCTE 40; 47 CFR 76.605 for analogue channels',
  limits: [
    {
      quantity: 'level',
      modulation: 'qam64',
      min: -15,
      max: 15,
      unit: 'dBmV',
      effect: 'service',
      source: SOURCE,
      sureness: 'after',
    },
    {
      quantity: 'level',
      modulation: 'qam256',
      min: -12,
      max: 15,
      unit: 'dBmV',
      effect: 'service',
      source: SOURCE,
      sureness: 'after',
    },
    {
      quantity: 'level',
      modulation: 'ofdm',
      min: -15,
      max: 15,
      unit: 'dBmV',
      effect: 'service',
      source: 'cable modem RF assumptions, input level',
      sureness: 'quoted',
    },
    {
      quantity: 'mer',
      modulation: 'qam64',
      min: 27,
      unit: 'dB',
      effect: 'service',
      source: SOURCE,
      sureness: 'after',
    },
    {
      quantity: 'mer',
      modulation: 'qam256',
      min: 33,
      unit: 'dB',
      effect: 'service',
      source: SOURCE,
      sureness: 'after',
    },
    {
      quantity: 'mer',
      modulation: '8vsb',
      min: 18,
      unit: 'dB',
      effect: 'service',
      source: 'receiver threshold of 15 dB and 3 dB to spare',
      sureness: 'practice',
    },
    {
      quantity: 'mer',
      modulation: 'ofdm',
      min: 34,
      unit: 'dB',
      effect: 'service',
      source: 'a block that carries 1024-QAM',
      sureness: 'practice',
    },
    {
      quantity: 'level',
      modulation: 'analogue',
      min: 0,
      unit: 'dBmV',
      effect: 'service',
      source: '47 CFR 76.605(a)(3)',
      sureness: 'read',
    },
    {
      quantity: 'cnr',
      modulation: 'analogue',
      min: 43,
      unit: 'dB',
      effect: 'service',
      source: '47 CFR 76.605(a)(7)',
      sureness: 'after',
    },
  ],
};
