import type { PlacedFinding } from '../../../api/diagnosis/placedFinding.ts';
import type { NamedChannel, NamedMargin, PointFacts, SiteFacts } from '../../../api/risk/siteFacts.ts';
import type { Finding } from '../../../api/trend/types.ts';
import { givenPlaced } from '../diagnosis/givenFinding.ts';

export const NOW = Date.parse('2026-11-12T20:30:00Z');
export const MINUTE = 60_000;
export const DAY = 86_400_000;

export function givenMargin(changes: Partial<NamedMargin> = {}): NamedMargin {
  return {
    quantity: 'level',
    bound: 'min',
    limit: -12,
    unit: 'dBmV',
    marginDb: 9,
    worseningDbPerDay: 0,
    worseningSdDbPerDay: 0,
    ...changes,
  };
}

/** Eighty channels, all with the same margin. */
export function givenChannels(margin: Partial<NamedMargin> = {}, count = 80): NamedChannel[] {
  return Array.from({ length: count }, (_, i) => ({
    channel: String(i + 2),
    lost: false,
    margins: [givenMargin(margin)],
  }));
}

export function givenPoint(changes: Partial<PointFacts> = {}): PointFacts {
  return {
    pointId: 1,
    title: 'handoff',
    isHandoff: changes.fedBy === undefined || changes.fedBy === null,
    fedBy: null,
    outlets: 0,
    intervalS: 900,
    hasBaseline: true,
    lastAtMs: NOW - 5 * MINUTE,
    dueFromMs: changes.lastAtMs === undefined ? NOW - 5 * MINUTE : changes.lastAtMs,
    channels: givenChannels(),
    levelDevDb: 0.1,
    tiltDevDb: -0.23,
    ...changes,
  };
}

/** handoff feeding floor 3 with 48 outlets; `changes` to floor 3. */
export function givenSite(changes: Partial<PointFacts> = {}, findings: PlacedFinding[] = []): SiteFacts {
  const floor3 = givenPoint({ pointId: 3, title: 'floor 3', fedBy: 1, outlets: 48, ...changes });
  return {
    timeZone: 'America/Chicago',
    points: [givenPoint(), floor3],
    findings,
    troubles: [],
    maintenance: null,
  };
}

/** The drift of the tests of diagnosis, in the hop from the handoff to floor 3. */
export function givenDrift(changes: Partial<Finding> = {}): PlacedFinding {
  return givenPlaced({ hopFrom: 1, ...changes });
}
