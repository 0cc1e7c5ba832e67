import type { OverdueInstrument } from '../instruments/overdueEvidence.ts';
import type { CauseView } from '../schemas/cause.ts';
import type { FindingView } from '../schemas/common.ts';
import type { ProbableCause } from './causes/cause.ts';
import { findingSentence, type Telling } from './findingSentence.ts';
import type { PlacedFinding } from './placedFinding.ts';
import { isWithinFloor } from './practicalFloor.ts';

/** A placed finding as it travels to a page. */
export function findingView(
  placed: PlacedFinding,
  causes: readonly ProbableCause[],
  telling: Telling,
  overdue: OverdueInstrument | null,
): FindingView {
  const { finding } = placed;
  return {
    event: finding.event,
    pointId: finding.pointId,
    pointName: placed.pointTitle,
    kind: finding.kind,
    metric: finding.metric,
    shape: finding.shape,
    sentence: findingSentence(placed, telling),
    detectedAt: instant(finding.detectedMs),
    onsetAt: instant(finding.onsetMs),
    onsetLowAt: instant(finding.onsetLowMs),
    onsetHighAt: instant(finding.onsetHighMs),
    sizeDb: finding.sizeDb,
    sizeLowDb: finding.sizeLowDb,
    sizeHighDb: finding.sizeHighDb,
    slopeDbPerDay: finding.slopeDbPerDay,
    slopeLowDbPerDay: finding.slopeLowDbPerDay,
    slopeHighDbPerDay: finding.slopeHighDbPerDay,
    daysToLimit: finding.daysToLimit,
    limitName: finding.limitName,
    closedAt: finding.closedMs === null ? null : instant(finding.closedMs),
    side: finding.side,
    hop: placed.hop,
    alsoPossible: [...placed.alsoPossible],
    explainedBy: finding.explainedBy,
    withinFloor: isWithinFloor(finding),
    overdueInstrument: overdue && { name: overdue.name, since: instant(overdue.sinceMs) },
    causes: causes.map(causeView),
  };
}

function causeView({ evidence, check, bring, cautions, ...cause }: ProbableCause): CauseView {
  return {
    ...cause,
    evidence: [...evidence],
    check: [...check],
    bring: [...bring],
    cautions: [...cautions],
  };
}

function instant(ms: number): string {
  return new Date(ms).toISOString();
}
