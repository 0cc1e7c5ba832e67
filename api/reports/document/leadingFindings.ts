import type { FindingView } from '../../schemas/common.ts';
import type { ReportData } from '../reportData.ts';

export interface NumberedFinding {
  /** As lists and drawings name it: F1, F2 … */
  readonly number: number;
  readonly finding: FindingView;
  /** Titles of the points that show the same event further down. */
  readonly alsoAt: readonly string[];
}

/** One entry an event, told where it begins; in a report of one point, what that point shows. */
export function leadingFindings(report: ReportData): NumberedFinding[] {
  const byEvent = Map.groupBy(report.findings, ({ event }) => event);
  return [...byEvent.values()].map((ofEvent, i) => {
    const finding = ofEvent.find(({ explainedBy }) => explainedBy === null) ?? ofEvent[0]!;
    const others = ofEvent.filter((each) => each !== finding);
    return { number: i + 1, finding, alsoAt: others.map(({ pointName }) => pointName) };
  });
}
