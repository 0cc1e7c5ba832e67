import { contentHash } from '../contentHash.ts';
import type { ReportData } from '../reportData.ts';
import { REPORT_TITLE } from '../reportKind.ts';
import type { Block, ReportDocument } from './block.ts';
import { buildingBlocks } from './buildingBlocks.ts';
import { factsBlock } from './factsSection.ts';
import { handoffBlocks } from './handoffBlocks.ts';
import { proofSection } from './proofSection.ts';
import { turnoverBlocks } from './turnoverBlocks.ts';

const SUBTITLE = {
  handoff: 'What the provider hands over, held against its limits and the accepted baseline',
  building: 'How the distribution stands, from the handoff to the outlets',
  turnover: 'What was measured and accepted when the installation was handed over',
} as const;

const BODY = { handoff: handoffBlocks, building: buildingBlocks, turnover: turnoverBlocks } as const;

/** A report as it is written, ready to be rendered as a page or as PDF. */
export function reportDocument(report: ReportData): ReportDocument {
  const hash = contentHash(report);
  const blocks: Block[] = [factsBlock(report), ...BODY[report.kind](report), ...proofSection(report, hash)];
  return {
    title: `${REPORT_TITLE[report.kind]}: ${report.setUp.site}`,
    subtitle: SUBTITLE[report.kind],
    hash,
    at: report.to,
    blocks,
  };
}
