import { signed } from '../../diagnosis/words.ts';
import { dayWithYear, momentWithZone } from '../moments.ts';
import type { Calibration, ReportData } from '../reportData.ts';
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
        { title: 'Instrument', align: 'left', share: 18 },
        { title: 'Point', align: 'left', share: 22 },
        { title: 'Sweeps', align: 'right', share: 9 },
        { title: 'First', align: 'left', share: 20 },
        { title: 'Last', align: 'left', share: 20 },
        { title: 'Calibration', align: 'left', share: 28 },
      ],
      rows: instruments.map(({ pointId, instrument, sweeps, firstAt, lastAt, calibration }) => ({
        cells: [
          instrument,
          titles.get(pointId) ?? '–',
          String(sweeps),
          momentWithZone(firstAt, setUp.timeZone),
          momentWithZone(lastAt, setUp.timeZone),
          calibrationWords(calibration, setUp.timeZone),
        ],
      })),
    },
  ];
}

function calibrationWords(calibration: Calibration | null, timeZone: string): string {
  if (calibration === null) return 'none on record';
  const { calibratedAt, dueAt, uncertaintyDb, certificate } = calibration;
  return [
    dayWithYear(calibratedAt, timeZone),
    dueAt === null ? 'no date for the next' : `next due ${dayWithYear(dueAt, timeZone)}`,
    uncertaintyDb === null ? 'uncertainty not stated' : `±${signed(uncertaintyDb)} dB`,
    ...(certificate === '' ? [] : [certificate]),
  ].join('; ');
}
