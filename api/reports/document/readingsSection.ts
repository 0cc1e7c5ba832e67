import { figure, signed } from '../../diagnosis/words.ts';
import { MODULATION_WORD } from '../../tradeWords.ts';
import type { ChannelReading } from '../reportData.ts';
import type { Block, Column, TableRow } from './block.ts';
import { plus } from './summary.ts';

const COLUMNS: readonly Column[] = [
  { title: 'Channel', align: 'left', share: 9 },
  { title: 'MHz', align: 'right', share: 9 },
  { title: 'Signal', align: 'left', share: 10 },
  { title: 'Level then, dBmV', align: 'right', share: 10 },
  { title: 'Level now, dBmV', align: 'right', share: 10 },
  { title: 'Change, dB', align: 'right', share: 9 },
  { title: 'Level limits, dBmV', align: 'right', share: 12 },
  { title: 'Margin, dB', align: 'right', share: 9 },
  { title: 'MER then, dB', align: 'right', share: 9 },
  { title: 'MER now, dB', align: 'right', share: 9 },
  { title: 'MER limit, dB', align: 'right', share: 9 },
  { title: 'Margin, dB', align: 'right', share: 9 },
  { title: 'Remark', align: 'left', share: 13 },
];

/** Channel by channel: then, now, change, limits and what is left to them. */
export function readingsTable(channels: readonly ChannelReading[], caption: string): Block {
  return { block: 'table', caption, columns: COLUMNS, rows: channels.map(rowOf) };
}

function rowOf(reading: ChannelReading): TableRow {
  const remark = remarkOf(reading);
  return {
    cells: [
      reading.channel ?? '–',
      String(Number(reading.freqMhz.toFixed(3))),
      reading.modulation === null ? '–' : MODULATION_WORD[reading.modulation],
      cell(reading.thenLevelDbmv),
      cell(reading.nowLevelDbmv),
      reading.deviationDb === null ? '–' : plus(reading.deviationDb),
      windowWords(reading.levelMinDbmv, reading.levelMaxDbmv),
      cell(reading.levelMarginDb),
      cell(reading.thenMerDb),
      cell(reading.nowMerDb),
      reading.merLimitDb === null ? '–' : figure(reading.merLimitDb),
      cell(reading.merMarginDb),
      remark.text,
    ],
    marked: remark.marked,
  };
}

function remarkOf(reading: ChannelReading): { text: string; marked: boolean } {
  const { lost, levelMarginDb, merMarginDb, standing } = reading;
  if (lost) return { text: 'not found', marked: true };
  const missed = [
    ...(levelMarginDb !== null && levelMarginDb < 0 ? ['level'] : []),
    ...(merMarginDb !== null && merMarginDb < 0 ? ['MER'] : []),
  ];
  if (missed.length > 0) return { text: `${missed.join(', ')} outside`, marked: true };
  if (standing === 'left-plan') return { text: 'left the plan', marked: false };
  if (standing === 'outside-plan') return { text: 'not in the plan', marked: false };
  return { text: '', marked: false };
}

function windowWords(min: number | null, max: number | null): string {
  if (min === null && max === null) return 'none';
  if (max === null) return `≥ ${figure(min!)}`;
  if (min === null) return `≤ ${figure(max)}`;
  return `${figure(min)} to ${figure(max)}`;
}

function cell(value: number | null): string {
  return value === null ? '–' : signed(value);
}
