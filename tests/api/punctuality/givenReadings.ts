import type { ReceivedReport } from '../../../api/agents/agentReports.ts';
import type { Arrived, PointReadings, ServerProbe } from '../../../api/punctuality/types.ts';
import type { AgentReport } from '../../../ingest/contract/agentReport.ts';

export const NOW = Date.parse('2026-11-12T20:30:00Z');
export const MINUTE = 60_000;
export const HOUR = 60 * MINUTE;

/** Eighty sweeps of 78 channels by one probe every 15 minutes, the newest five minutes ago; `change` to each, by its age from 0. */
export function givenSweeps(change: (age: number) => Partial<Arrived> = () => ({})): Arrived[] {
  return Array.from({ length: 80 }, (_, age) => ({
    atMs: NOW - 5 * MINUTE - age * 15 * MINUTE,
    instrument: 'probe-7',
    channels: 78,
    repeats: false,
    ...change(age),
  }));
}

export function givenReadings(changes: Partial<PointReadings> = {}): PointReadings {
  const sweeps = changes.sweeps ?? givenSweeps();
  return {
    pointId: 1,
    name: 'handoff',
    title: 'handoff',
    intervalS: 900,
    sweeps,
    lastMs: sweeps[0]?.atMs ?? null,
    baseline: { channels: 78, instruments: ['probe-7'] },
    ...changes,
  };
}

/** Nothing has come since `sinceMs` ago. */
export function givenAbsent(agoMs: number, changes: Partial<PointReadings> = {}): PointReadings {
  const sweeps = givenSweeps((age) => ({ atMs: NOW - agoMs - age * 15 * MINUTE }));
  return givenReadings({ sweeps, ...changes });
}

/** A modem at the handoff that the server could read until `agoMs` ago. */
export function givenServerProbe(agoMs: number, changes: Partial<ServerProbe> = {}): ServerProbe {
  return {
    pointId: 1,
    name: 'cellar modem',
    standing: 'failing',
    hasRead: true,
    dueMs: NOW + MINUTE,
    failing: {
      sinceMs: NOW - agoMs,
      orEarlier: false,
      message: '192.0.2.14 did not answer within 6 s',
      action: 'check that the modem is on',
    },
    ...changes,
  };
}

/** An agent that reads handoff and floor-3, all well. */
export function givenReport(
  agoMs: number,
  changes: { [K in keyof AgentReport]?: Partial<AgentReport[K]> } = {},
): ReceivedReport {
  const receivedMs = NOW - agoMs;
  const at = (ms: number) => new Date(ms).toISOString();
  const probe = (point: string) => ({
    point,
    driver: 'modem',
    nextDueAt: at(receivedMs + 10 * MINUTE),
    lastSuccessAt: at(receivedMs - 5 * MINUTE),
    lastSweepAt: at(receivedMs - 5 * MINUTE),
    lastError: null,
    missed: 0,
  });
  return {
    receivedMs,
    report: {
      version: '0.1.0',
      agent: 'riser-box',
      startedAt: at(receivedMs - 24 * HOUR),
      writtenAt: at(receivedMs),
      spool: {
        waiting: 0,
        waitingBytes: 0,
        limitBytes: 500_000_000,
        oldestAt: null,
        inMemory: 0,
        isDiskFull: false,
        refused: 0,
        thinned: [],
        ...changes.spool,
      },
      clock: { serverAheadS: 0, lastCorrection: null, ...changes.clock },
      sending: { lastSuccessAt: at(receivedMs), lastError: null, ...changes.sending },
      probes: (changes.probes as AgentReport['probes']) ?? [probe('handoff'), probe('floor-3')],
    },
  };
}
