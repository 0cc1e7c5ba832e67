import { momentIn } from '../diagnosis/words.ts';
import type { ServerProbe } from './types.ts';
import type { AbsentPoint, FirstCause, Surroundings } from './whatWentFirst.ts';

/** What the server knows itself of silent points that it reads, and of how many of them. */
export interface ProbesWord {
  readonly points: number;
  readonly cause: FirstCause;
}

/**
 * What keeps the server's own probes from reading the silent points: instruments that fail, a server that does not come round, or
 * somebody who paused them. Null when the server reads none of the points, or nothing keeps it from doing so.
 */
export function whatProbesSay(absent: readonly AbsentPoint[], around: Surroundings): ProbesWord | null {
  const silent = new Set(absent.map(({ readings }) => readings.pointId));
  const reading = around.probes.filter(({ pointId }) => silent.has(pointId));
  const cause = failing(reading, around) ?? late(reading, around) ?? paused(reading);
  return cause && { points: new Set(reading.map(({ pointId }) => pointId)).size, cause };
}

function failing(probes: readonly ServerProbe[], around: Surroundings): FirstCause | null {
  const found = probes
    .flatMap(({ name, standing, failing }) =>
      standing === 'failing' && failing !== null ? [{ name, ...failing }] : [],
    )
    .toSorted((a, b) => a.sinceMs - b.sinceMs);
  const [first] = found;
  if (first === undefined) return null;
  const since = `since ${moment(around, first.sinceMs)}${first.orEarlier ? ' or earlier' : ''}`;
  const which =
    found.length === 1
      ? `probe ${first.name} of this server has failed ${since}`
      : `${found.length} probes of this server fail, ${first.name} first, ${since}`;
  return {
    clause: `${which}: ${first.message}`,
    doFirst: `Begin with probe ${first.name}: ${first.action}.`,
  };
}

function late(probes: readonly ServerProbe[], around: Surroundings): FirstCause | null {
  const [first] = probes
    .filter(({ standing, dueMs }) => standing === 'late' && dueMs !== null)
    .toSorted((a, b) => a.dueMs! - b.dueMs!);
  if (first === undefined) return null;
  return {
    clause: `probe ${first.name} was due on ${moment(around, first.dueMs!)} and no server has read it`,
    doFirst:
      'See that a server with the role jobs runs and is not overloaded: nothing speaks against the instrument.',
  };
}

function paused(probes: readonly ServerProbe[]): FirstCause | null {
  const [first] = probes;
  if (first === undefined || probes.some(({ standing }) => standing !== 'paused')) return null;
  return {
    clause: `probe ${first.name} of this server is paused`,
    doFirst: `Resume probe ${first.name} in the set-up of the site, if it is to be read again.`,
  };
}

function moment({ timeZone, nowMs }: Surroundings, atMs: number): string {
  return momentIn(timeZone, atMs, nowMs);
}
