import { count } from '../../diagnosis/words.ts';
import { SIDE_WORD } from '../../tradeWords.ts';
import { momentWithZone } from '../moments.ts';
import type { ReportData } from '../reportData.ts';
import type { Block } from './block.ts';
import { leadingFindings, type NumberedFinding, smallFindings } from './leadingFindings.ts';
import { plus } from './summary.ts';

/** What changed: each finding with its interval, its side and what speaks for it. */
export function findingsSection(report: ReportData): Block[] {
  const leading = leadingFindings(report);
  const small = smallFindings(report);
  return [
    { block: 'heading', level: 2, text: 'Findings' },
    ...(leading.length === 0
      ? [
          {
            block: 'text',
            text: 'No change from the baseline that calls for action was found within the period.',
          } as const,
        ]
      : leading.flatMap((numbered) => findingBlocks(numbered, report.setUp.timeZone))),
    ...(small === 0
      ? []
      : [
          {
            block: 'text',
            quiet: true,
            text: `Beside these, ${count(small, 'change')} too small to act on; the JSON file of this report holds them.`,
          } as const,
        ]),
  ];
}

function findingBlocks({ number, finding, alsoAt }: NumberedFinding, timeZone: string): Block[] {
  const at = (moment: string) => momentWithZone(moment, timeZone);
  const [cause] = finding.causes;
  return [
    { block: 'heading', level: 3, text: `F${number}. ${finding.sentence}` },
    {
      block: 'facts',
      rows: [
        ['Whose side', sideWords(finding.side)],
        ['Began', `${at(finding.onsetAt)}; between ${at(finding.onsetLowAt)} and ${at(finding.onsetHighAt)}`],
        ['Found', at(finding.detectedAt)],
        ...(hasSize(finding.kind)
          ? ([
              [
                'Size',
                `${plus(finding.sizeDb)} dB, between ${plus(finding.sizeLowDb)} and ${plus(finding.sizeHighDb)} dB`,
              ],
            ] as const)
          : []),
        ...(finding.overdueInstrument === null
          ? []
          : ([
              [
                'Instrument',
                `${finding.overdueInstrument.name}, out of calibration since ${at(finding.overdueInstrument.since)}`,
              ],
            ] as const)),
        ['State', finding.closedAt === null ? 'open' : `over since ${at(finding.closedAt)}`],
        ...(alsoAt.length === 0
          ? []
          : ([['Shows as well at', `${count(alsoAt.length, 'point')}: ${alsoAt.join(', ')}`]] as const)),
      ],
    },
    ...(cause === undefined
      ? []
      : ([
          {
            block: 'text',
            text: `Most likely: ${cause.title} (confidence ${Math.round(cause.confidence * 100)} %). What speaks for it:`,
          },
          { block: 'list', items: cause.evidence },
        ] as const)),
  ];
}

function hasSize(kind: string): boolean {
  return kind !== 'outage' && kind !== 'channel-lost';
}

function sideWords(side: 'provider' | 'building' | 'unsure'): string {
  if (side === 'unsure') return 'can’t be told from these readings';
  return side === 'provider'
    ? `${SIDE_WORD.provider}: it shows at the handoff already`
    : `${SIDE_WORD.building}: it begins behind the handoff`;
}
