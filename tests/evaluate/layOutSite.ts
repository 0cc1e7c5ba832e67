import type { PointKind } from '../../ingest/store/schema.ts';
import { layOut } from '../../seed/fleet/layouts.ts';
import type { SimulatedPoint } from '../../seed/simulator/plant.ts';
import type { EvaluatedLayout } from './settings.ts';

export interface LaidOutPoint extends SimulatedPoint {
  readonly kind: PointKind;
}

const OUTLETS = 120;
const TOWER_OUTLETS = 10;
/** A pad that leaves gear an input of about −9 dBmV, so that its noise counts beside the meter's. */
const WEAK_INPUT_PAD_DB = 29;

/** Points of a building. The cable of every other outlet, the first among them, lies under a hot roof, the rest in rooms. */
export function layOutSite(layout: EvaluatedLayout, siteName: string): LaidOutPoint[] {
  const points = pointsOf(layout, siteName);
  const outlets = points.filter(({ kind }) => kind === 'outlet');
  return points.map((point) => (outlets.indexOf(point) % 2 === 0 ? underRoof(point) : point));
}

function pointsOf(layout: EvaluatedLayout, siteName: string): LaidOutPoint[] {
  switch (layout) {
    case 'weak-gear':
      return weakGear(siteName);
    case 'tower':
      return tower(siteName);
    default:
      return layOut(layout, siteName, OUTLETS, 'conditioned');
  }
}

function weakGear(siteName: string): LaidOutPoint[] {
  return layOut('gear', siteName, OUTLETS, 'conditioned').flatMap((point) => {
    if (point.name === 'gear-in') return [];
    if (point.name !== 'gear-out') return [point];
    const pad = { kind: 'passive', what: 'pad', lossDb: WEAK_INPUT_PAD_DB } as const;
    return [{ ...point, fedBy: 'handoff', hop: [pad, ...point.hop] }];
  });
}

/** Twelve points: one amplifier with ten outlets. */
function tower(siteName: string): LaidOutPoint[] {
  const [handoff, amplifier] = layOut('risers', siteName, OUTLETS, 'conditioned');
  const outlets = Array.from({ length: TOWER_OUTLETS }, (_, floor) => {
    const outlet = layOut('risers', `${siteName} floor ${floor}`, OUTLETS, 'conditioned')[2]!;
    return { ...outlet, name: `floor-${floor}` };
  });
  return [handoff!, amplifier!, ...outlets];
}

function underRoof(point: LaidOutPoint): LaidOutPoint {
  const hop = point.hop.map((element) =>
    element.kind === 'cable' ? { ...element, surroundings: 'hot ceiling' as const } : element,
  );
  return { ...point, hop, thermometer: 'hot ceiling' };
}
