import type { Fault, FaultCause, FaultShape } from '../../seed/simulator/fault.ts';
import type { CasePoint, Nature, Row, Truth } from './plantedCase.ts';
import type { EvaluatedLayout } from './settings.ts';

/** Gradual faults go on for as long as anybody looks. */
const RAMP_DAYS = 1000;
const NOTCH_WIDTH_MHZ = 30;
const DIP_MINUTES = 20;
const HOUR_MS = 3_600_000;

/** Every kind and size of fault of the evaluation. Silence depends on wall time and is the risk part's: it has no row. */
export const ROWS: readonly Row[] = [
  ...[1, 2, 4].map((db) => row('step', `level step ${db} dB`, 'step', flatStep(db))),
  ...[1, 2, 4].map((db) => row('step', `tilt step ${db} dB`, 'step', tiltStep(db))),
  row('loss', 'lost channel', 'loss', lostChannel),
  row('loss', 'outage', 'loss', outage),
  ...[0.02, 0.05, 0.1, 0.3].map((rate) => row('drift', `drift ${rate} dB/d`, 'ramp', flatDrift(rate))),
  ...[0.02, 0.05, 0.15].map((rate) => row('tilt', `high end ${rate} dB/d`, 'ramp', highEnd(rate))),
  ...[0.02, 0.05, 0.15].map((rate) => row('tilt', `low end ${rate} dB/d`, 'ramp', lowEnd(rate))),
  ...[0.05, 0.2].map((rate) => row('mer', `MER ${rate} dB/d`, 'ramp', merFall(rate))),
  ...[0.05, 0.1, 0.3].map((rate) => row('notch', `notch ${rate} dB/d`, 'ramp', notch(rate))),
  ...[0.3, 0.6, 1.2].map((db) => row('echo', `ripple ${db} dB`, 'step', ripple(db))),
  ...[2, 6, 15].map((db) => row('loose', `loose, dips ${db} dB`, 'dips', looseContact(db))),
  ...[0.05, 0.1].map((rate) => row('provider', `provider drift ${rate} dB/d`, 'ramp', providerDrift(rate))),
  ...[1, 2, 4].map((db) => row('provider', `provider step ${db} dB`, 'step', providerStep(db))),
  row('hidden', 'drift 0.1 dB/d ahead of gear', 'ramp', aheadOfGear(0.1), ['gear']),
  row('hidden', 'drift 0.1 dB/d, gear unwatched', 'ramp', aheadOfGear(0.1), ['weak-gear']),
  row('two', 'two faults at once', 'step', twoFaults),
];

/** Rows whose family or name begins with one of `wanted`; all of them for an empty list. */
export function chooseRows(wanted: readonly string[]): Row[] {
  const chosen = ROWS.filter(
    ({ family, name }) =>
      wanted.length === 0 || wanted.some((text) => family === text || name.startsWith(text)),
  );
  if (chosen.length === 0) {
    const families = [...new Set(ROWS.map(({ family }) => family))].join(', ');
    throw new RangeError(`no row is called ${wanted.join(' or ')}; families are ${families}`);
  }
  return chosen;
}

type Plant = Row['plant'];

function row(
  family: string,
  name: string,
  nature: Nature,
  plant: Plant,
  layouts: readonly EvaluatedLayout[] | null = null,
): Row {
  return { name, family, nature, layouts, plant };
}

function flatStep(sizeDb: number): Plant {
  return ({ points }, onsetMs, uniform) => {
    const point = pick(visibleHops(points), uniform);
    const causes = hasGear(point) ? ['amplifier losing gain', 'splitter changed'] : ['splitter changed'];
    return [truth(point, causes, { shape: { kind: 'flat' }, sizeDb: -sizeDb, overDays: 0, onsetMs })];
  };
}

/** More cable, or wet cable, at once: tilt is the change at 1 GHz less that at 54 MHz. */
function tiltStep(tiltDb: number): Plant {
  const sizeDb = -tiltDb / (1 - Math.sqrt(0.054));
  return ({ points }, onsetMs, uniform) => [
    truth(pick(visibleHops(points), uniform), ['water in cable'], {
      shape: { kind: 'cable' },
      sizeDb,
      overDays: 0,
      onsetMs,
    }),
  ];
}

/** Nobody loses a channel in a passive hop, so it goes off at the provider or where gear stands. */
function lostChannel(...[site, onsetMs, uniform]: Parameters<Plant>): readonly Truth[] {
  const { points, channels } = site;
  const shape: FaultShape = { kind: 'channels-lost', channels: [pick(channels, uniform)] };
  const places = [points[0]!, ...points.filter(hasGear)];
  return [truth(pick(places, uniform), ['modulator off'], { shape, sizeDb: 0, overDays: 0, onsetMs })];
}

function outage(...[site, onsetMs, uniform]: Parameters<Plant>): readonly Truth[] {
  const point = pick(visibleHops(site.points), uniform);
  return [truth(point, ['power off'], { shape: { kind: 'outage' }, sizeDb: 0, overDays: 0, onsetMs })];
}

function flatDrift(rateDbPerDay: number): Plant {
  return ({ points }, onsetMs, uniform) => {
    const point = pick(visibleHops(points), uniform);
    const causes = hasGear(point) ? ['amplifier losing gain'] : ['failing passive', 'splitter changed'];
    return [truth(point, causes, ramp({ kind: 'flat' }, rateDbPerDay, onsetMs))];
  };
}

function highEnd(rateDbPerDay: number): Plant {
  return ({ points }, onsetMs, uniform) => [
    truth(
      pick(visibleHops(points), uniform),
      ['water in cable'],
      ramp({ kind: 'cable' }, rateDbPerDay, onsetMs),
    ),
  ];
}

function lowEnd(rateDbPerDay: number): Plant {
  return ({ points }, onsetMs, uniform) => [
    truth(
      pick(visibleHops(points), uniform),
      ['corroded contact'],
      ramp({ kind: 'low-end' }, rateDbPerDay, onsetMs),
    ),
  ];
}

function merFall(rateDbPerDay: number): Plant {
  return ({ points }, onsetMs, uniform) => {
    const geared = points.filter(hasGear);
    const point = pick(geared.length > 0 ? geared : visibleHops(points), uniform);
    const causes = hasGear(point) ? ['amplifier noise', 'ingress'] : ['ingress', 'amplifier noise'];
    return [truth(point, causes, ramp({ kind: 'noise' }, rateDbPerDay, onsetMs))];
  };
}

function notch(rateDbPerDay: number): Plant {
  return ({ points }, onsetMs, uniform) => {
    const point = pick(visibleHops(points), uniform);
    const centreMhz = Math.round(150 + 750 * uniform());
    const shape: FaultShape = { kind: 'notch', centreMhz, widthMhz: NOTCH_WIDTH_MHZ };
    return [truth(point, ['suck-out'], ramp(shape, rateDbPerDay, onsetMs))];
  };
}

function ripple(peakToValleyDb: number): Plant {
  return ({ points }, onsetMs, uniform) => {
    const point = pick(visibleHops(points), uniform);
    const shape: FaultShape = { kind: 'ripple', delayNs: Math.round(30 + 220 * uniform()) };
    const fault = { shape, sizeDb: peakToValleyDb, overDays: 0, onsetMs };
    return [truth(point, ['echo from a damaged cable'], fault)];
  };
}

function looseContact(dipDb: number): Plant {
  return ({ points }, onsetMs, uniform) => {
    const point = pick(visibleHops(points), uniform);
    const share = 0.03 + 0.12 * uniform();
    const shape: FaultShape = { kind: 'loose-contact', share, spellMinutes: DIP_MINUTES };
    return [truth(point, ['loose connector'], { shape, sizeDb: -dipDb, overDays: 0, onsetMs })];
  };
}

function providerDrift(rateDbPerDay: number): Plant {
  return ({ points }, onsetMs) => [
    truth(points[0]!, ['provider feed low'], ramp({ kind: 'flat' }, rateDbPerDay, onsetMs)),
  ];
}

function providerStep(sizeDb: number): Plant {
  return ({ points }, onsetMs) => [
    truth(points[0]!, ['provider feed low'], {
      shape: { kind: 'flat' },
      sizeDb: -sizeDb,
      overDays: 0,
      onsetMs,
    }),
  ];
}

/** Loss before gear that corrects it: at its input point where there is one, else unseen until the window ends. */
function aheadOfGear(rateDbPerDay: number): Plant {
  return ({ points }, onsetMs) => {
    const input = points.find(({ kind }) => kind === 'gear-input');
    const output = points.find(({ kind }) => kind === 'gear-output')!;
    const fault = ramp({ kind: 'flat' }, rateDbPerDay, onsetMs);
    const planted = truth(input ?? output, ['failing passive', 'splitter changed'], fault, 'entry');
    return [{ ...planted, mayName: 2 }];
  };
}

/** Two hops fail within hours of each other, each in a way of its own. */
function twoFaults(...[site, onsetMs, uniform]: Parameters<Plant>): readonly Truth[] {
  const { points } = site;
  const first = pick(visibleHops(points), uniform);
  const others = visibleHops(points).filter((point) => point !== first);
  const second = others.length === 0 ? points[0]! : pick(others, uniform);
  const [level] = flatStep(2 + 2 * uniform())({ ...site, points: [points[0]!, first] }, onsetMs, uniform) as [
    Truth,
  ];
  const laterMs = onsetMs + Math.round(6 * uniform()) * HOUR_MS;
  const makers = [tiltStep(2), ripple(1.2), flatDrift(0.3), notch(0.3)];
  const [other] = pick(makers, uniform)({ ...site, points: [points[0]!, second] }, laterMs, uniform) as [
    Truth,
  ];
  return [level, other];
}

type Planned = Pick<Fault, 'shape' | 'sizeDb' | 'overDays' | 'onsetMs'>;

function ramp(shape: FaultShape, rateDbPerDay: number, onsetMs: number): Planned {
  return { shape, sizeDb: -rateDbPerDay * RAMP_DAYS, overDays: RAMP_DAYS, onsetMs };
}

function truth(
  point: CasePoint,
  causes: readonly string[],
  planned: Planned,
  end: 'entry' | 'exit' = hasGear(point) ? 'exit' : 'entry',
): Truth {
  const isProvider = point.kind === 'handoff';
  const fault: Fault = {
    ...planned,
    // The simulator's own name for it, of which its readings don't depend.
    cause: 'provider feed low' satisfies FaultCause,
    place: isProvider ? 'provider' : { hopTo: point.name, end },
    endMs: null,
  };
  return {
    fault,
    hop: point.name,
    side: isProvider ? 'provider' : 'building',
    causes,
    mayName: 1,
  };
}

/** Hops whose faults show at the point that they lead to and at all that it feeds. */
function visibleHops(points: readonly CasePoint[]): CasePoint[] {
  const hops = points.filter(({ kind }) => kind !== 'handoff' && kind !== 'gear-input');
  return hops.length > 0 ? hops : [...points];
}

function hasGear({ kind }: CasePoint): boolean {
  return kind === 'amplifier' || kind === 'gear-output';
}

function pick<T>(values: readonly T[], uniform: () => number): T {
  return values[Math.floor(uniform() * values.length)]!;
}
