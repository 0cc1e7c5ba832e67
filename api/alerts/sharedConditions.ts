import type { Severity } from '../../ingest/store/schema.ts';
import type { Side } from '../schemas/common.ts';
import type { FindingKind } from '../trend/types.ts';
import { likenessOf, SILENCE_KEY } from './causeKey.ts';
import { type Condition, leadOf } from './conditions.ts';
import type { TimeLeft } from './severity.ts';

/** A condition that other sites of the provider may show as well, as it is kept beside its site for them to see. */
export interface SharedCondition {
  readonly causeKey: string;
  readonly likeness: string;
  /** Null for silence. */
  readonly kind: FindingKind | null;
  readonly metric: string | null;
  readonly sizeDb: number | null;
  readonly side: Side | null;
  readonly onsetMs: number;
  readonly onsetLowMs: number;
  readonly onsetHighMs: number;
  /** Wall time of the first look that found it. */
  readonly firstSeenMs: number;
  readonly timeLeft: TimeLeft;
  readonly severity: Severity;
  readonly outlets: number;
  readonly outletDays: number;
  readonly findings: readonly { readonly event: number; readonly pointId: number }[];
}

/** Whether other sites of the provider may show it: it comes from the provider's side, or it is a silence. */
export function isShared({ side, isTold, causeKey }: Condition): boolean {
  return isTold && (side === 'provider' || causeKey === SILENCE_KEY);
}

/** @param known what was kept of the site before: what was seen then keeps its time */
export function sharedCondition(
  condition: Condition,
  known: readonly SharedCondition[],
  nowMs: number,
): SharedCondition {
  const lead = condition.findings.length === 0 ? null : leadOf(condition.findings);
  const before = known.find(({ causeKey }) => causeKey === condition.causeKey);
  return {
    causeKey: condition.causeKey,
    likeness: likenessOf(condition.causeKey),
    kind: lead?.kind ?? null,
    metric: lead?.metric ?? null,
    sizeDb: lead?.sizeDb ?? null,
    side: condition.side,
    onsetMs: condition.onsetMs,
    onsetLowMs: condition.onsetLowMs,
    onsetHighMs: condition.onsetHighMs,
    firstSeenMs: before?.firstSeenMs ?? nowMs,
    timeLeft: condition.timeLeft,
    severity: condition.severity,
    outlets: condition.outlets,
    outletDays: condition.outletDays,
    findings: condition.findings.map(({ event, pointId }) => ({ event, pointId })),
  };
}
