import type { FindingView } from '../../schemas/common.ts';
import type { ReportData } from '../reportData.ts';

export interface NumberedFinding {
  /** As lists and drawings name it: F1, F2 … */
  readonly number: number;
  readonly finding: FindingView;
  /** Titles of the points that show the same event further down. */
  readonly alsoAt: readonly string[];
}

/** One entry an event, told where it begins; in a report of one point, what that point shows. Those too small to act on are left out. */
export function leadingFindings(report: ReportData): NumberedFinding[] {
  return leadingOfEvents(report)
    .filter(({ finding }) => !finding.withinFloor)
    .map((each, i) => ({ number: i + 1, ...each }));
}

/** How many changes are real but too small to act on. */
export function smallFindings(report: ReportData): number {
  return leadingOfEvents(report).filter(({ finding }) => finding.withinFloor).length;
}

function leadingOfEvents(report: ReportData): Omit<NumberedFinding, 'number'>[] {
  const byEvent = Map.groupBy(report.findings, ({ event }) => event);
  return [...byEvent.values()].map((ofEvent) => {
    const finding = ofEvent.find(({ explainedBy }) => explainedBy === null) ?? ofEvent[0]!;
    const others = ofEvent.filter((each) => each !== finding);
    return { finding, alsoAt: others.map(({ pointName }) => pointName) };
  });
}
