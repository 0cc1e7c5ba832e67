import type { AgentReport } from '../../ingest/contract/agentReport.ts';
import { count, momentIn } from '../diagnosis/words.ts';
import type { AgentView } from '../schemas/silence.ts';
import { isAgentSilent, type ReceivedReport } from './agentReports.ts';

/** A clock that is off by less does a sweep no harm, s. */
const TOLD_OFFSET_S = 60;

/** An agent as pages show it. */
export function agentView(
  received: ReceivedReport,
  { timeZone, nowMs }: { timeZone: string; nowMs: number },
): AgentView {
  const { report, receivedMs } = received;
  const { spool } = report;
  return {
    agent: report.agent,
    version: report.version,
    receivedAt: new Date(receivedMs).toISOString(),
    isSilent: isAgentSilent(received, nowMs),
    waiting: spool.waiting + spool.inMemory,
    oldestWaitingAt: spool.oldestAt,
    probes: report.probes.map(({ point, lastSweepAt, lastError }) => ({
      point,
      lastSweepAt,
      error: lastError && `${lastError.message}: ${lastError.action}`,
    })),
    notes: [
      ...clockNotes(report),
      ...thinningNotes(report, (at) => momentIn(timeZone, Date.parse(at), nowMs)),
      ...spoolNotes(report),
    ],
  };
}

type Note = AgentView['notes'][number];

function clockNotes({ clock }: AgentReport): Note[] {
  const notes: Note[] = [];
  const { serverAheadS, lastCorrection } = clock;
  if (serverAheadS !== null && Math.abs(serverAheadS) > TOLD_OFFSET_S) {
    const side = serverAheadS > 0 ? 'behind' : 'ahead of';
    notes.push({
      at: null,
      text: `its clock is ${span(serverAheadS)} ${side} the server’s, and so are the times of its sweeps: check its time synchronisation`,
    });
  }
  if (lastCorrection !== null) {
    const way = lastCorrection.byS > 0 ? 'forward' : 'back';
    const moved =
      lastCorrection.sweepsMoved === 0
        ? 'no sweep was waiting'
        : `${count(lastCorrection.sweepsMoved, 'waiting sweep')} moved to their true time`;
    notes.push({
      at: lastCorrection.at,
      text: `its clock was set ${way} by ${span(lastCorrection.byS)}; ${moved}`,
    });
  }
  return notes;
}

function thinningNotes({ spool }: AgentReport, moment: (at: string) => string): Note[] {
  return spool.thinned.map(({ point, leftOver, sweeps, from, to }) => ({
    at: to,
    text: `its spool was full: of ${point} ${count(sweeps, 'unsent sweep')} from ${moment(from)} to ${moment(to)} went, ${leftOver} is left`,
  }));
}

function spoolNotes({ spool, sending }: AgentReport): Note[] {
  const notes: Note[] = [];
  if (spool.isDiskFull) notes.push({ at: null, text: 'its disk is full: make room on it' });
  if (spool.refused > 0)
    notes.push({
      at: null,
      text: `${count(spool.refused, 'sweep')} that the server rejected are kept: mend the cause, then send them again with --resend-refused`,
    });
  if (sending.lastError !== null)
    notes.push({
      at: sending.lastError.at,
      text: `it could not send: ${sending.lastError.message}: ${sending.lastError.action}`,
    });
  return notes;
}

/** "45 s", "12 min", "3.2 h". */
function span(seconds: number): string {
  const size = Math.abs(seconds);
  if (size < 120) return `${Math.round(size)} s`;
  return size < 7200 ? `${Math.round(size / 60)} min` : `${(size / 3600).toFixed(1)} h`;
}
