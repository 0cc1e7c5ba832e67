import { momentWithZone } from '../moments.ts';
import type { ReportData } from '../reportData.ts';
import type { Block } from './block.ts';

/** Which instruments read within the period, and how often. */
export function instrumentsSection({ instruments, setUp }: ReportData): Block[] {
  const titles = new Map(setUp.points.map(({ pointId, title }) => [pointId, title]));
  if (instruments.length === 0) return [];
  return [
    { block: 'heading', level: 2, text: 'Instruments' },
    {
      block: 'table',
      caption: 'Instruments that read within the period',
      columns: [
        { title: 'Instrument', align: 'left', share: 25 },
        { title: 'Point', align: 'left', share: 25 },
        { title: 'Sweeps', align: 'right', share: 10 },
        { title: 'First', align: 'left', share: 20 },
        { title: 'Last', align: 'left', share: 20 },
      ],
      rows: instruments.map(({ pointId, instrument, sweeps, firstAt, lastAt }) => ({
        cells: [
          instrument,
          titles.get(pointId) ?? '–',
          String(sweeps),
          momentWithZone(firstAt, setUp.timeZone),
          momentWithZone(lastAt, setUp.timeZone),
        ],
      })),
    },
  ];
}
