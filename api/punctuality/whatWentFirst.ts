import { isAgentSilent, type ReceivedReport } from '../agents/agentReports.ts';
import { count, listed, momentIn } from '../diagnosis/words.ts';
import type { DueTrouble, PointReadings, ServerProbe } from './types.ts';
import { whatProbesSay } from './whatProbesSay.ts';

/** A point without sweeps, and the point as it was before. */
export interface AbsentPoint {
  readonly readings: PointReadings;
  readonly trouble: DueTrouble;
}

/** What is known beside the silence, as a clause for a sentence, and what to do about it. */
export interface FirstCause {
  readonly clause: string | null;
  readonly doFirst: string;
}

export interface Surroundings {
  readonly timeZone: string;
  readonly nowMs: number;
  readonly agents: readonly ReceivedReport[];
  /** Instruments of the site that the server reads by itself. */
  readonly probes: readonly ServerProbe[];
  /** Points of the site that still send. */
  readonly heard: readonly PointReadings[];
}

/**
 * Which of a silent point's probe, agent or link went first: by what the server's own probes or the agent say, whichever reads the
 * more of them, else by the order in which the points fell silent and by what they have in common.
 */
export function whatWentFirst(absent: readonly AbsentPoint[], around: Surroundings): FirstCause {
  const received = agentOf(absent, around.agents);
  const byProbes = whatProbesSay(absent, around);
  if (byProbes !== null && byProbes.points > silentReadBy(received, absent)) return byProbes.cause;
  if (received === null) return withoutAgent(absent, around);
  return isAgentSilent(received, around.nowMs)
    ? agentWentToo(received, around)
    : agentStillReports(absent, received, around);
}

/** The agent that reads the most of the silent points; null when none reads any. */
function agentOf(absent: readonly AbsentPoint[], agents: readonly ReceivedReport[]): ReceivedReport | null {
  const reads = (received: ReceivedReport) => silentReadBy(received, absent);
  const best = agents.toSorted((a, b) => reads(b) - reads(a))[0];
  return best !== undefined && reads(best) > 0 ? best : null;
}

/** How many of the silent points the agent reads. */
function silentReadBy(received: ReceivedReport | null, absent: readonly AbsentPoint[]): number {
  const names = new Set(received?.report.probes.map(({ point }) => point));
  return absent.filter(({ readings }) => names.has(readings.name)).length;
}

function agentWentToo({ receivedMs, report }: ReceivedReport, around: Surroundings): FirstCause {
  const { waiting } = report.spool;
  const came = `the last report of agent ${report.agent} came on ${moment(around, receivedMs)}`;
  return waiting === 0
    ? {
        clause: `${came} with nothing waiting: look at its power or link first`,
        doFirst: `Look at the power of agent ${report.agent} first, then at its link to the server: all that it had was sent before it fell silent.`,
      }
    : {
        clause: `${came} with ${count(waiting, 'sweep')} waiting: look at its link first`,
        doFirst: `Look at the link of agent ${report.agent} first: it held ${count(waiting, 'sweep')} that it could not send, and sends them once it can.`,
      };
}

function agentStillReports(
  absent: readonly AbsentPoint[],
  { report }: ReceivedReport,
  around: Surroundings,
): FirstCause {
  const names = new Set(absent.map(({ readings }) => readings.name));
  const failing = report.probes.find(({ point, lastError }) => names.has(point) && lastError !== null);
  if (failing?.lastError) {
    return {
      clause: `agent ${report.agent} reports and can't read: ${failing.lastError.message}`,
      doFirst: `The agent and its link work, so look at the instrument: ${failing.lastError.action}.`,
    };
  }
  const { lastError } = report.sending;
  if (lastError !== null && report.spool.waiting > 0) {
    return {
      clause: `agent ${report.agent} holds ${count(report.spool.waiting, 'sweep')} that it can't send: ${lastError.message}`,
      doFirst: `The readings are safe with the agent: ${lastError.action}.`,
    };
  }
  return {
    clause: `agent ${report.agent} reports and names no trouble`,
    doFirst: `The agent and its link work. See what its next reading is waiting for: ${nextReading(absent, report, around)}.`,
  };
}

function nextReading(
  absent: readonly AbsentPoint[],
  { probes }: ReceivedReport['report'],
  around: Surroundings,
): string {
  const [first] = absent;
  const probe = probes.find(({ point }) => point === first?.readings.name);
  if (probe?.nextDueAt == null) return 'its schedule has no time left, so look at its config';
  return `${first!.readings.title} is due on ${moment(around, Date.parse(probe.nextDueAt))} by its schedule`;
}

function withoutAgent(absent: readonly AbsentPoint[], around: Surroundings): FirstCause {
  const shared = sharedInstrument(absent);
  if (absent.length === 1) {
    const name = shared ?? 'the instrument';
    return {
      clause: null,
      doFirst: `Look at ${name} first: its power, then its link. Whether the signal is there can't be told from here.`,
    };
  }
  const ordered = absent.toSorted((a, b) => a.trouble.sinceMs - b.trouble.sinceMs);
  const [first, last] = [ordered[0]!, ordered.at(-1)!];
  const apartMs = last.trouble.sinceMs - first.trouble.sinceMs;
  if (apartMs > 1000 * Math.max(...absent.map(({ readings }) => readings.intervalS))) {
    const { title } = first.readings;
    return {
      clause: `${title} went first, on ${moment(around, first.trouble.sinceMs)}`,
      doFirst: `Begin at ${title}, which fell silent first: its probe, then what feeds it with power.`,
    };
  }
  const isOnlyOne = around.heard.every(({ sweeps }) => sweeps[0]?.instrument !== shared);
  if (shared !== null && isOnlyOne) {
    return {
      clause: `all were read by ${shared} and fell silent together`,
      doFirst: `Look at ${shared} first: its power, then its link.`,
    };
  }
  return {
    clause: 'they fell silent together',
    doFirst: 'Look first at what they share: the power of the probes, then the link of the site.',
  };
}

function sharedInstrument(absent: readonly AbsentPoint[]): string | null {
  const names = new Set(absent.map(({ readings }) => readings.sweeps[0]?.instrument ?? null));
  return names.size === 1 ? [...names][0]! : null;
}

function moment({ timeZone, nowMs }: Surroundings, atMs: number): string {
  return momentIn(timeZone, atMs, nowMs);
}

/** "handoff and floor 3": the points by their titles. */
export function titlesOf(points: readonly { readonly readings: Pick<PointReadings, 'title'> }[]): string {
  return listed(points.map(({ readings }) => readings.title));
}
