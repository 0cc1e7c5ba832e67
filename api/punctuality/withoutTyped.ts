import { isTyped } from '../../ingest/typedInstrument.ts';
import type { ReceivedReport } from '../agents/agentReports.ts';
import type { PointReadings, ServerProbe } from './types.ts';

/** An agent that has not reported for so long has gone; common practice, no source. */
const AGENT_GONE_MS = 7 * 86_400_000;

export interface Readers {
  readonly probes: readonly ServerProbe[];
  readonly agents: readonly ReceivedReport[];
}

/**
 * How a point's sweeps have come, without those that a person typed where a probe of the server or an agent reads it: what somebody
 * reads off beside a silent probe does not make it heard. Where neither has ever read it, or both have gone, typed sweeps count.
 *
 * @param lastReadMs newest sweep that nobody typed; null when there is none
 */
export function withoutTyped(
  readings: PointReadings,
  lastReadMs: number | null,
  readers: Readers,
  nowMs: number,
): PointReadings {
  if (lastReadMs === null || !isReadByItself(readings, readers, nowMs)) return readings;
  const sweeps = readings.sweeps.filter(({ instrument }) => !isTyped(instrument));
  return { ...readings, sweeps, lastMs: lastReadMs };
}

function isReadByItself(
  { pointId, name }: PointReadings,
  { probes, agents }: Readers,
  nowMs: number,
): boolean {
  return (
    probes.some((probe) => probe.pointId === pointId && probe.hasRead && probe.standing !== 'paused') ||
    agents.some(
      ({ receivedMs, report }) =>
        nowMs - receivedMs <= AGENT_GONE_MS &&
        report.probes.some(({ point, lastSuccessAt }) => point === name && lastSuccessAt !== null),
    )
  );
}
