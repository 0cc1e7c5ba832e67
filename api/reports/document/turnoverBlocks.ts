import { count } from '../../diagnosis/words.ts';
import { KIND_WORD } from '../../tradeWords.ts';
import type { ReportData } from '../reportData.ts';
import { baselineBlocks } from './baselineSection.ts';
import type { Block } from './block.ts';
import { instrumentsSection } from './instrumentsSection.ts';
import { limitsBlocks } from './limitsSection.ts';
import { methodSection } from './methodSection.ts';
import { bandBlocks } from './pointSections.ts';
import { readingsTable } from './readingsSection.ts';

/** The record of acceptance: every point with its baseline, its limits, exceptions and who accepted. */
export function turnoverBlocks(report: ReportData): Block[] {
  const accepted = report.baselines.filter(({ baseline }) => baseline !== null);
  const excepted = accepted.filter(({ baseline }) => baseline!.outside.length > 0);
  const people = [...new Set(accepted.map(({ baseline }) => baseline!.acceptedBy))].sort();
  const missing = report.setUp.points.length - accepted.length;
  return [
    { block: 'heading', level: 2, text: 'In short' },
    {
      block: 'list',
      items: [
        `${accepted.length} of ${count(report.setUp.points.length, 'point')} have an accepted baseline${missing === 0 ? '.' : `; ${missing} have none.`}`,
        people.length === 0 ? 'Nobody has accepted anything yet.' : `Accepted by ${people.join(', ')}.`,
        excepted.length === 0
          ? 'Nothing lay outside the limits at acceptance.'
          : `Accepted with an exception: ${count(excepted.length, 'point')}.`,
      ],
    },
    ...report.setUp.points.flatMap((point, i): Block[] => {
      const { baseline } = report.baselines.find(({ pointId }) => pointId === point.pointId)!;
      const readings = report.readings.find(({ pointId }) => pointId === point.pointId)!;
      const agreed = report.agreed.find(({ pointId }) => pointId === point.pointId)!;
      return [
        { block: 'heading', level: 2, text: point.title, newPage: i > 0 },
        {
          block: 'facts',
          rows: [
            ['Kind', KIND_WORD[point.kind]],
            ['Fed by', point.fedBy ?? 'the provider'],
            ['Hop', point.hopNote === '' ? 'not described' : point.hopNote],
            ['Outlets on it', String(point.outlets)],
          ],
        },
        { block: 'heading', level: 3, text: 'Baseline' },
        ...baselineBlocks(baseline, report.setUp.timeZone),
        { block: 'heading', level: 3, text: 'Then and now' },
        ...bandBlocks(report, readings),
        { block: 'heading', level: 3, text: 'Limits' },
        ...limitsBlocks(agreed),
        ...(readings.channels.length === 0
          ? []
          : [readingsTable(readings.channels, `Every channel: ${point.title}`)]),
      ];
    }),
    ...instrumentsSection(report),
    ...methodSection(report),
    { block: 'heading', level: 2, text: 'Signatures' },
    {
      block: 'facts',
      rows: [
        ['For the installer', '______________________________   Date ________________'],
        ['For the owner', '______________________________   Date ________________'],
      ],
    },
  ];
}
