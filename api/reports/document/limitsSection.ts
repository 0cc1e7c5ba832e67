import { figure } from '../../diagnosis/words.ts';
import type { Limit, Sureness } from '../../limits/limitSet.ts';
import { MODULATION_WORD, QUANTITY_WORD } from '../../tradeWords.ts';
import type { AgreedLimits } from '../reportData.ts';
import type { Block } from './block.ts';

const SURENESS_WORDS: Readonly<Record<Sureness, string>> = {
  read: 'document read',
  quoted: 'as quoted elsewhere',
  after: 'to be confirmed against the current text',
  practice: 'common practice, no source',
  own: 'set for this installation',
};

/** What one point, or several alike, are held to; each limit with its source and how sure it is. */
export function limitsBlocks({ setName, why, limits }: AgreedLimits): Block[] {
  return [
    { block: 'text', text: `${setName}. ${why}` },
    {
      block: 'table',
      caption: 'Limits',
      columns: [
        { title: 'Of', align: 'left', share: 20 },
        { title: 'Signal', align: 'left', share: 9 },
        { title: 'Limit', align: 'left', share: 19 },
        { title: 'If passed', align: 'left', share: 12 },
        { title: 'Source', align: 'left', share: 25 },
        { title: 'How sure', align: 'left', share: 15 },
      ],
      rows: limits.map((limit) => ({
        cells: [
          QUANTITY_WORD[limit.quantity],
          limit.modulation ? MODULATION_WORD[limit.modulation] : 'all',
          limitWords(limit),
          limit.effect === 'service' ? 'service at risk' : 'out of limits',
          limit.source,
          SURENESS_WORDS[limit.sureness],
        ],
      })),
    },
  ];
}

/** "−12 to 15 dBmV, target 0"; "at least 33 dB". */
export function limitWords({ min, max, target, maxByTopMhz, unit }: Limit): string {
  const aim = target === undefined ? '' : `, target ${figure(target)}`;
  if (maxByTopMhz) {
    return maxByTopMhz
      .map((step) => `at most ${figure(step.max)} ${unit} with a top up to ${step.upToMhz} MHz`)
      .join('; ');
  }
  if (min !== undefined && max !== undefined) return `${figure(min)} to ${figure(max)} ${unit}${aim}`;
  if (min !== undefined) return `at least ${figure(min)} ${unit}${aim}`;
  if (max !== undefined) return `at most ${figure(max)} ${unit}${aim}`;
  return target === undefined ? 'none' : `target ${figure(target)} ${unit}`;
}
