import { type PlacedFinding, placedFindings } from '../../../api/diagnosis/placedFinding.ts';
import type { TreePoint } from '../../../api/diagnosis/tree.ts';
import type { Finding } from '../../../api/trend/types.ts';

export const NOON = Date.parse('2026-10-12T12:00:00Z');
export const HOUR = 3_600_000;
export const DAY = 24 * HOUR;

export const HANDOFF = 1;
export const AMPLIFIER = 2;
export const FLOOR_3 = 3;

/** A level drift of −2.7 dB that began on 12 October between riser amplifier and floor 3, unless told otherwise. */
export function givenFinding(changes: Partial<Finding> = {}): Finding {
  return {
    event: 1,
    pointId: FLOOR_3,
    kind: 'drift',
    metric: 'level',
    shape: 'flat',
    detectedMs: NOON + 3 * DAY,
    onsetMs: NOON,
    onsetLowMs: NOON - 6 * HOUR,
    onsetHighMs: NOON + 6 * HOUR,
    sizeDb: -2.7,
    sizeLowDb: -3,
    sizeHighDb: -2.4,
    slopeDbPerDay: -0.09,
    slopeLowDbPerDay: -0.11,
    slopeHighDbPerDay: -0.07,
    daysToLimit: { p10: 14, p50: 19, p90: 27 },
    limitName: 'level at least -12 dBmV',
    closedMs: null,
    side: 'building',
    hopFrom: AMPLIFIER,
    hopTo: FLOOR_3,
    alsoPossible: [],
    explainedBy: null,
    evidence: {},
    ...changes,
  };
}

/** handoff → riser amplifier → floor 3. */
export const TREE: readonly TreePoint[] = [
  { pointId: HANDOFF, title: 'handoff', fedBy: null },
  { pointId: AMPLIFIER, title: 'riser amplifier', fedBy: HANDOFF },
  { pointId: FLOOR_3, title: 'floor 3', fedBy: AMPLIFIER },
];

/** What the provider does to the feed. */
export const FROM_PROVIDER = { pointId: HANDOFF, side: 'provider', hopFrom: null, hopTo: HANDOFF } as const;

/** {@link givenFinding} in the tree. */
export function givenPlaced(changes: Partial<Finding> = {}): PlacedFinding {
  return placedFindings([givenFinding(changes)], TREE)[0]!;
}
