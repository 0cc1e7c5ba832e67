import { count, figure, signed } from '../../diagnosis/words.ts';
import type { BaselineVersionView } from '../../schemas/baseline.ts';
import { QUANTITY_WORD } from '../../tradeWords.ts';
import { momentWithZone } from '../moments.ts';
import type { Block } from './block.ts';

/** The accepted reference of one point: from what, by whom, and what was accepted although it misses a limit. */
export function baselineBlocks(baseline: BaselineVersionView | null, timeZone: string): Block[] {
  if (baseline === null) {
    return [
      { block: 'text', text: 'No baseline was in force: there is no accepted reference to compare with.' },
    ];
  }
  const { outside } = baseline;
  return [
    {
      block: 'facts',
      rows: [
        ['Version', String(baseline.version)],
        ['Accepted by', `${baseline.acceptedBy}, ${momentWithZone(baseline.acceptedAt, timeZone)}`],
        ['In force from', momentWithZone(baseline.effectiveFrom, timeZone)],
        [
          'Made of',
          `medians of ${count(baseline.sweeps, 'sweep')}, ${momentWithZone(baseline.fromAt, timeZone)} to ${momentWithZone(baseline.toAt, timeZone)}`,
        ],
        ['Instruments', baseline.instruments.join(', ')],
        ['Level at mid band', `${signed(baseline.levelDbmv)} dBmV`],
        ['Tilt', `${signed(baseline.tiltDb)} dB`],
        ['Flatness', `${signed(baseline.flatnessDb)} dB peak to valley`],
        [
          'Worst MER or CNR margin',
          baseline.worstMerMarginDb === null ? 'not measured' : `${signed(baseline.worstMerMarginDb)} dB`,
        ],
        [
          'Temperature beside the cable',
          baseline.ambientC === null ? 'not measured' : `${signed(baseline.ambientC)} °C, mean`,
        ],
        ['Exception noted', baseline.exceptionNote ?? 'none'],
      ],
    },
    ...(outside.length === 0
      ? [{ block: 'text', text: 'Nothing lay outside the limits when it was accepted.' } as const]
      : [outsideTable(outside)]),
  ];
}

function outsideTable(outside: BaselineVersionView['outside']): Block {
  return {
    block: 'table',
    caption: 'Outside the limits when it was accepted',
    columns: [
      { title: 'Of', align: 'left', share: 30 },
      { title: 'Channel', align: 'left', share: 12 },
      { title: 'Reading', align: 'right', share: 14 },
      { title: 'Limit', align: 'left', share: 18 },
      { title: 'Source', align: 'left', share: 36 },
    ],
    rows: outside.map(({ quantity, channel, value, unit, limit, source }) => ({
      cells: [
        QUANTITY_WORD[quantity],
        channel ?? '–',
        `${figure(Number(value.toFixed(1)))} ${unit}`,
        limit,
        source,
      ],
    })),
  };
}
