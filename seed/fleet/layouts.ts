import type { PointKind } from '../../ingest/store/schema.ts';
import type { HopElement, SimulatedPoint } from '../simulator/plant.ts';
import { seedFrom, uniformStream } from '../simulator/random.ts';
import type { Surroundings } from '../simulator/weather.ts';

/** A simulated point with what the set-up pages would be told of it. */
export interface DemoPoint extends SimulatedPoint {
  readonly kind: PointKind;
  readonly label: string;
  readonly outlets: number;
}

export type LayoutName = 'amplified' | 'gear' | 'risers' | 'campus' | 'passive';

const OUTLET_TARGET_DBMV = 7.5;
/** Series 6 cable in the middle of the band, dB a metre; used to choose taps only. */
const SERIES6_MIDDLE_DB_PER_METRE = 0.158;
const AMPLIFIER_OUTPUT_DBMV = 36;

/** The points of a building of a kind, with cable lengths of its own. `ceiling` says where outlet cable lies. */
export function layOut(
  layout: LayoutName,
  siteName: string,
  outlets: number,
  ceiling: Surroundings,
): DemoPoint[] {
  const uniform = uniformStream(seedFrom('layout', siteName));
  const between = (low: number, high: number) => Math.round(low + (high - low) * uniform());
  const drop = (fromDbmv: number, metres: number) => outletHop(fromDbmv, metres, ceiling);
  const half = Math.floor(outlets / 2);

  switch (layout) {
    case 'passive':
      return [
        handoff(),
        point('outlet', 'outlet', 'handoff', 'Outlet, far room', outlets, drop(20, between(20, 32))),
      ];
    case 'amplified':
      return [
        handoff(),
        point('amplifier', 'amplifier', 'handoff', 'Amplifier output', 0, [
          series6(between(10, 25), 'conditioned'),
          amplifier(AMPLIFIER_OUTPUT_DBMV, 8),
        ]),
        point('outlet', 'outlet', 'amplifier', 'Outlet, far corridor', outlets, drop(36, between(48, 66))),
      ];
    case 'risers':
      return [
        handoff(),
        point('amplifier', 'amplifier', 'handoff', 'Amplifier output', 0, [
          series6(between(10, 25), 'conditioned'),
          amplifier(AMPLIFIER_OUTPUT_DBMV, 7),
        ]),
        point('outlet-low', 'outlet', 'amplifier', 'Outlet, low riser', half, drop(36, between(40, 55))),
        point(
          'outlet-high',
          'outlet',
          'amplifier',
          'Outlet, high riser',
          outlets - half,
          drop(36, between(45, 60)),
        ),
      ];
    case 'gear':
      return [
        handoff(),
        point('gear-in', 'gear-input', 'handoff', 'Distribution gear, input', 0, [series6(2, 'conditioned')]),
        point('gear-out', 'gear-output', 'gear-in', 'Distribution gear, output', 0, [
          {
            kind: 'self-correcting',
            outputDbmv: AMPLIFIER_OUTPUT_DBMV,
            outputTiltDb: 8,
            noiseFigureDb: 9,
            windowDb: 4,
          },
        ]),
        point('ward-a', 'outlet', 'gear-out', 'Outlet, ward A', half, drop(36, between(45, 60))),
        point('ward-b', 'outlet', 'gear-out', 'Outlet, ward B', outlets - half, drop(36, between(50, 65))),
      ];
    case 'campus': {
      const metres = between(120, 180);
      return [
        handoff(),
        point('trunk', 'amplifier', 'handoff', 'Trunk amplifier output', 0, [
          series6(between(8, 15), 'conditioned'),
          amplifier(34, Math.round(metres * 0.1)),
        ]),
        point('far-amp', 'amplifier', 'trunk', 'Far block, amplifier output', half, [
          { kind: 'cable', type: 'series11', metres, surroundings: 'outdoor' },
          amplifier(AMPLIFIER_OUTPUT_DBMV, 7),
        ]),
        point('outlet', 'outlet', 'far-amp', 'Outlet, far block', outlets - half, drop(36, between(45, 60))),
      ];
    }
  }
}

/** What lies in a hop, in words for the set-up page. */
export function describeHop(hop: readonly HopElement[]): string {
  return hop.map(describeElement).join(', ');
}

function describeElement(element: HopElement): string {
  switch (element.kind) {
    case 'cable': {
      const series = element.type === 'series11' ? 'series 11' : 'series 6';
      return `${element.metres} m of ${series} cable, ${PLACES[element.surroundings]}`;
    }
    case 'passive':
      return `${element.what} (${element.lossDb} dB)`;
    case 'amplifier':
      return 'amplifier';
    case 'self-correcting':
      return `gear that corrects itself within ±${element.windowDb} dB`;
  }
}

const PLACES: Record<Surroundings, string> = {
  conditioned: 'indoors',
  'hot ceiling': 'under the roof',
  outdoor: 'outdoors',
};

function handoff(): DemoPoint {
  return {
    name: 'handoff',
    fedBy: null,
    kind: 'handoff',
    label: 'Provider handoff',
    outlets: 0,
    hop: [],
    thermometer: 'conditioned',
  };
}

function point(
  name: string,
  kind: PointKind,
  fedBy: string,
  label: string,
  outlets: number,
  hop: readonly HopElement[],
): DemoPoint {
  const cable = hop.find((element) => element.kind === 'cable');
  return { name, kind, fedBy, label, outlets, hop, thermometer: cable?.surroundings ?? null };
}

/** Splitter, tap and cable that bring a line of `fromDbmv` down to an ordinary outlet level. */
function outletHop(fromDbmv: number, metres: number, surroundings: Surroundings): HopElement[] {
  const passiveDb = fromDbmv - OUTLET_TARGET_DBMV - metres * SERIES6_MIDDLE_DB_PER_METRE;
  const what = passiveDb > 15 ? '8-way splitter and tap' : '4-way splitter';
  return [{ kind: 'passive', what, lossDb: Math.round(10 * passiveDb) / 10 }, series6(metres, surroundings)];
}

function series6(metres: number, surroundings: Surroundings): HopElement {
  return { kind: 'cable', type: 'series6', metres, surroundings };
}

function amplifier(outputDbmv: number, outputTiltDb: number): HopElement {
  return { kind: 'amplifier', outputDbmv, outputTiltDb, noiseFigureDb: 8 };
}
