import type { Frame } from '../../../api/trend/frame.ts';
import { observe } from '../../../api/trend/observe.ts';
import { emptySiteTrend, type SiteTrend, takeSweep } from '../../../api/trend/siteTrend.ts';
import type { Finding, Observation, Reference, SitePoint } from '../../../api/trend/types.ts';
import type { Sweep } from '../../../ingest/sweep.ts';
import { compare } from '../../evaluate/engineUnderTest.ts';
import { DAY_MS, type FleetSite } from '../../evaluate/fleet.ts';
import { sweepsOf } from '../../evaluate/sweepsOf.ts';

/** A sweep, and what `takeSweep` takes of it. */
export interface Taken {
  readonly sweep: Sweep;
  readonly pointId: number;
  readonly frame: Frame;
  readonly observation: Observation;
  readonly reference: Reference;
}

/** A finding as told first and as told last. */
export interface Told {
  readonly first: Finding;
  readonly last: Finding;
  /** The sweep that told it. */
  readonly firstMs: number;
  /** It was taken back. */
  readonly isGone: boolean;
}

/** Turns a sweep of the simulator into another: what the plant and its instruments can't do by themselves. */
export type Spoil = (sweep: Sweep, point: string) => Sweep;

/** Points by number, in the site's order from 1. */
export function idOf({ evaluated }: FleetSite, point: string): number {
  return evaluated.points.findIndex(({ name }) => name === point) + 1;
}

export function treeOf(site: FleetSite): SitePoint[] {
  return site.evaluated.points.map(({ name, fedBy, correctsItself, correctionWindowDb }) => ({
    pointId: idOf(site, name),
    fedBy: fedBy === null ? null : idOf(site, fedBy),
    isHandoff: fedBy === null,
    correctsItself,
    correctionWindowDb,
  }));
}

/** The sweeps of a site's first `days` days, held against a baseline of those before `baselineUntilMs`. */
export function* takenOf(site: FleetSite, days: number, spoil: Spoil = (sweep) => sweep): Generator<Taken> {
  const { startMs, baselineUntilMs } = site.evaluated;
  const gathered = new Map<string, Sweep[]>();
  const compared = new Map<string, { frame: Frame; reference: Reference }>();
  for (const { point, sweep } of sweepsOf(site, startMs, startMs + days * DAY_MS)) {
    if (sweep.atMs < baselineUntilMs) {
      gathered.set(point, [...(gathered.get(point) ?? []), sweep]);
      continue;
    }
    if (!compared.has(point)) compared.set(point, compare(site.evaluated, gathered.get(point)!));
    const { frame, reference } = compared.get(point)!;
    const read = spoil(sweep, point);
    yield { sweep: read, pointId: idOf(site, point), frame, observation: observe(read, frame), reference };
  }
}

/** Takes sweeps into a state and gathers what is told. */
export function watch(
  tree: readonly SitePoint[],
  sweeps: Iterable<Taken>,
  trend: SiteTrend = emptySiteTrend(),
): Told[] {
  const told = new Map<string, Told>();
  const keyOf = ({ event, pointId }: { event: number; pointId: number }) => `${event} ${pointId}`;
  for (const { pointId, frame, observation, reference } of sweeps) {
    const { changed, gone } = takeSweep(trend, tree, pointId, frame, observation, reference);
    for (const last of changed) {
      const { first, firstMs } = told.get(keyOf(last)) ?? { first: last, firstMs: observation.atMs };
      told.set(keyOf(last), { first, last, firstMs, isGone: false });
    }
    for (const key of gone.map(keyOf)) told.set(key, { ...told.get(key)!, isGone: true });
  }
  return [...told.values()];
}

/** The findings that lead an event at the end. */
export function leading(told: readonly Told[]): Told[] {
  return told.filter(({ last, isGone }) => !isGone && last.explainedBy === null);
}
