import type { TreePoint } from '../../../api/diagnosis/tree.ts';
import type { Finding } from '../../../api/trend/types.ts';

export const NOON = Date.parse('2026-10-12T12:00:00Z');
export const HOUR = 3_600_000;
export const DAY = 24 * HOUR;

/** A level drift of −2.7 dB that began on 12 October, unless told otherwise. */
export function givenFinding(changes: Partial<Finding> = {}): Finding {
  return {
    kind: 'drift',
    metric: 'level',
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
    evidence: {},
    ...changes,
  };
}

function point(pointId: number, title: string, fedBy: number | null): TreePoint {
  return {
    pointId,
    title,
    fedBy,
    isHandoff: fedBy === null,
    correctsItself: false,
    correctionWindowDb: null,
    hasBaseline: true,
    lastAtMs: NOON + 30 * DAY,
  };
}

export const HANDOFF = 1;
export const AMPLIFIER = 2;
export const FLOOR_3 = 3;

/** handoff → riser amplifier → floor 3; `changes` by point. */
export function givenTree(changes: Readonly<Record<number, Partial<TreePoint>>> = {}): TreePoint[] {
  return [
    point(HANDOFF, 'handoff', null),
    point(AMPLIFIER, 'riser amplifier', HANDOFF),
    point(FLOOR_3, 'floor 3', AMPLIFIER),
  ].map((each) => ({ ...each, ...changes[each.pointId] }));
}
