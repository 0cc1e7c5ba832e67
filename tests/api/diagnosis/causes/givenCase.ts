import type { CausePlace } from '../../../../api/diagnosis/causes/cause.ts';
import type { Finding } from '../../../../api/trend/types.ts';

const NOON = Date.parse('2026-10-12T12:00:00Z');
const HOUR = 3_600_000;

/** A flat level step at a point inside the building, as the engine tells it, unless told otherwise. */
export function givenFinding(changes: Partial<Finding> = {}): Finding {
  const sizeDb = changes.sizeDb ?? -3.6;
  return {
    event: 1,
    pointId: 3,
    kind: 'step',
    metric: 'level',
    shape: 'flat',
    detectedMs: NOON + HOUR,
    onsetMs: NOON,
    onsetLowMs: NOON - HOUR / 4,
    onsetHighMs: NOON,
    sizeDb,
    sizeLowDb: sizeDb - 0.2,
    sizeHighDb: sizeDb + 0.2,
    slopeDbPerDay: null,
    slopeLowDbPerDay: null,
    slopeHighDbPerDay: null,
    daysToLimit: null,
    limitName: null,
    closedMs: null,
    side: 'building',
    hopFrom: 2,
    hopTo: 3,
    alsoPossible: [],
    explainedBy: null,
    evidence: {},
    ...changes,
  };
}

/** A drift of `slopeDbPerDay` that has been growing for three weeks. */
export function givenDrift(slopeDbPerDay: number, changes: Partial<Finding> = {}): Finding {
  return givenFinding({ kind: 'drift', slopeDbPerDay, sizeDb: 21 * slopeDbPerDay, ...changes });
}

const ANYWHERE: Omit<CausePlace, 'endsAt' | 'startsAt' | 'hopNote'> = {
  isHandoff: false,
  correctsItself: false,
  ambientKnown: false,
  otherSites: 0,
};

export const HANDOFF: CausePlace = {
  ...ANYWHERE,
  endsAt: 'handoff',
  startsAt: null,
  isHandoff: true,
  hopNote: '',
};
export const AMPLIFIER: CausePlace = {
  ...ANYWHERE,
  endsAt: 'amplifier',
  startsAt: 'handoff',
  hopNote: '18 m of series 6 cable, indoors, amplifier',
};
export const FAR_AMPLIFIER: CausePlace = {
  ...ANYWHERE,
  endsAt: 'amplifier',
  startsAt: 'amplifier',
  hopNote: '150 m of series 11 cable, outdoors, amplifier',
};
export const OUTLET: CausePlace = {
  ...ANYWHERE,
  endsAt: 'outlet',
  startsAt: 'amplifier',
  hopNote: '4-way splitter (7.2 dB), 62 m of series 6 cable, indoors',
};
export const ROOF_OUTLET: CausePlace = { ...OUTLET, hopNote: '55 m of series 6 cable, under the roof' };
export const GEAR: CausePlace = {
  ...ANYWHERE,
  endsAt: 'gear-output',
  startsAt: 'handoff',
  correctsItself: true,
  hopNote: 'gear that corrects itself within ±4 dB',
};
export const WATCHED_GEAR: CausePlace = { ...GEAR, startsAt: 'gear-input' };
