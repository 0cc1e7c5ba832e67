import { partHashes } from '../contentHash.ts';
import type { Part, ReportData } from '../reportData.ts';
import type { Block } from './block.ts';

export const PART_WORDS: Readonly<Record<Part, string>> = {
  setUp: 'Site, points and channel plan',
  agreed: 'Limits',
  baselines: 'Baselines',
  readings: 'Readings, then and now',
  history: 'History',
  findings: 'Findings',
  instruments: 'Instruments',
};

/** The hash that the data of the report gives, and those of its parts. */
export function proofSection(report: ReportData, hash: string): Block[] {
  return [
    { block: 'heading', level: 2, text: 'Content hash' },
    {
      block: 'text',
      text: `SHA-256 ${hash}. It is taken over the data of this report in canonical JSON; the same readings, period and make (version ${report.version}) give the same hash. Levelkeep can be asked whether a hash still matches; where it doesn’t, the parts below say in what.`,
    },
    {
      block: 'facts',
      rows: partHashes(report).map(
        ({ part, hash: partHash }) => [PART_WORDS[part], partHash.slice(0, 32)] as const,
      ),
    },
    {
      block: 'text',
      quiet: true,
      text: 'Of each part the first 32 of 64 figures are printed.',
    },
  ];
}
