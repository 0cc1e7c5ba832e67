import { count } from '../../diagnosis/words.ts';
import { KIND_WORD } from '../../tradeWords.ts';
import { momentWithZone } from '../moments.ts';
import type { ReportData } from '../reportData.ts';
import type { Block } from './block.ts';

/** What the report is about: site, parties, period and zone. */
export function factsBlock({ setUp, from, to }: ReportData): Block {
  const { timeZone, plan, provider, points } = setUp;
  const [only] = points;
  return {
    block: 'facts',
    rows: [
      ['Site', [setUp.site, setUp.address].filter((part) => part !== '').join(', ')],
      ['Provider', provider ?? 'not set'],
      points.length === 1
        ? ['Point', `${only!.title} (${KIND_WORD[only!.kind].toLowerCase()}; “${only!.name}” in sweeps)`]
        : ['Points', `${points.length}, for ${count(setUp.outlets, 'outlet')}`],
      ['Period', `${momentWithZone(from, timeZone)} to ${momentWithZone(to, timeZone)}`],
      ['Time zone', `${timeZone}, for all times here`],
      [
        'Channel plan',
        plan === null
          ? 'none in force: carriers are named by frequency'
          : `${plan.name}, version ${plan.version} of ${momentWithZone(plan.effectiveFrom, timeZone)}, ${count(plan.channels, 'channel')}`,
      ],
    ],
  };
}
