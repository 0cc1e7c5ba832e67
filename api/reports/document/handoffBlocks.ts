import type { ReportData } from '../reportData.ts';
import { baselineBlocks } from './baselineSection.ts';
import type { Block } from './block.ts';
import { findingsSection } from './findingsSection.ts';
import { instrumentsSection } from './instrumentsSection.ts';
import { limitsBlocks } from './limitsSection.ts';
import { methodSection } from './methodSection.ts';
import { bandBlocks, historyBlocks } from './pointSections.ts';
import { readingsTable } from './readingsSection.ts';
import { summarySection } from './summary.ts';

/** For the provider: the handoff and nothing behind it. */
export function handoffBlocks(report: ReportData): Block[] {
  const [agreed, kept, readings, history] = [
    report.agreed[0]!,
    report.baselines[0]!,
    report.readings[0]!,
    report.history[0]!,
  ];
  return [
    ...summarySection(report),
    { block: 'heading', level: 2, text: 'Then and now across frequency' },
    ...bandBlocks(report, readings),
    ...findingsSection(report),
    { block: 'heading', level: 2, text: 'History' },
    ...historyBlocks(report, history),
    { block: 'heading', level: 2, text: 'Limits it is held against' },
    ...limitsBlocks(agreed),
    { block: 'heading', level: 2, text: 'Baseline' },
    ...baselineBlocks(kept.baseline, report.setUp.timeZone),
    { block: 'heading', level: 2, text: 'Readings, channel by channel' },
    readingsTable(readings.channels, 'Baseline and now at the handoff'),
    ...instrumentsSection(report),
    ...methodSection(report),
  ];
}
