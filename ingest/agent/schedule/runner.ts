import { ProbeError } from '../../probe/probeError.ts';
import { untilAborted } from '../../probe/untilAborted.ts';
import type { Schedule } from '../../schedule/schedule.ts';
import type { AgentClock } from '../clock.ts';
import type { Source, Taking } from '../source.ts';

export interface RunnerProbe {
  readonly point: string;
  readonly driver: string;
  /** The same for probes that share an instrument: one reading of it at a time. */
  readonly instrumentKey: string;
  readonly schedule: Schedule;
  readonly source: Source;
  readonly timeoutMs: number;
  readonly floorMs: number;
}

export interface ProbeState {
  readonly probe: RunnerProbe;
  /** Wall clock; null when the schedule has no time left. */
  dueMs: number | null;
  lastSuccessMs: number | null;
  lastSweepMs: number | null;
  lastError: { readonly atMs: number; readonly message: string; readonly action: string } | null;
  /** Times let go because the machine was off, asleep or busy. */
  missed: number;
}

export interface RunnerDeps {
  readonly probes: readonly RunnerProbe[];
  readonly clock: AgentClock;
  /** Readings at once. */
  readonly atOnce: number;
  /** Puts readings in safety. */
  readonly keep: (point: string, taking: Taking) => void;
  readonly say: (line: string) => void;
  readonly onChange: () => void;
}

/** A time that is further back than this was slept through: it is let go, not made up for. */
const LATE_MS = 60_000;

export type Runner = ReturnType<typeof createRunner>;

/** Reads each probe when it is due: one reading of an instrument at a time, and not too many at once. */
export function createRunner({ probes, clock, atOnce, keep, say, onChange }: RunnerDeps) {
  const { wallMs: startMs } = clock.read();
  const states: ProbeState[] = probes.map((probe) => ({
    probe,
    dueMs: probe.schedule.next(startMs),
    lastSuccessMs: null,
    lastSweepMs: null,
    lastError: null,
    missed: 0,
  }));
  const waiting: Waiting[] = [];
  const reading = new Map<string, { readonly state: ProbeState; readonly over: Promise<void> }>();
  /** Uptime at which the last reading of an instrument ended. */
  const endedMs = new Map<string, number>();

  return {
    states: states as readonly ProbeState[],

    /** Looks at the clock once: queues what is due, starts what may start. */
    tick(signal: AbortSignal): void {
      const { wallMs, uptimeMs } = clock.read();
      for (const state of states) queueIfDue(state, wallMs);
      startWaiting(uptimeMs, signal);
    },

    /** The clock was set: what is due next is worked out anew. */
    reschedule(wallMs: number): void {
      for (const state of states) state.dueMs = state.probe.schedule.next(wallMs);
    },

    /** Asks for a reading out of turn; answers once it was taken. Throws what the reading throws. */
    readNow(state: ProbeState): Promise<Taking> {
      const { promise, resolve, reject } = Promise.withResolvers<Taking>();
      waiting.push({ state, done: resolve, failed: reject });
      return promise;
    },

    /** Resolves when no reading is under way any more. */
    async idle(): Promise<void> {
      await Promise.all([...reading.values()].map(({ over }) => over));
    },
  };

  function queueIfDue(state: ProbeState, wallMs: number): void {
    if (state.dueMs === null || state.dueMs > wallMs) return;
    const { point } = state.probe;
    if (wallMs - state.dueMs > LATE_MS) {
      state.missed += 1;
      say(`${point}: the reading of ${new Date(state.dueMs).toISOString()} was slept through and is let go`);
    } else if (isUnderWay(state)) {
      state.missed += 1;
      say(`${point}: the last reading is not over; this one is let go`);
    } else {
      waiting.push({ state });
    }
    state.dueMs = state.probe.schedule.next(wallMs);
    onChange();
  }

  function isUnderWay(state: ProbeState): boolean {
    return (
      waiting.some((item) => item.state === state) || reading.get(state.probe.instrumentKey)?.state === state
    );
  }

  function startWaiting(uptimeMs: number, signal: AbortSignal): void {
    for (const item of [...waiting]) {
      const { instrumentKey, floorMs } = item.state.probe;
      if (reading.size >= atOnce) return;
      const restedMs = uptimeMs - (endedMs.get(instrumentKey) ?? Number.NEGATIVE_INFINITY);
      if (reading.has(instrumentKey) || restedMs < floorMs) continue;
      waiting.splice(waiting.indexOf(item), 1);
      reading.set(instrumentKey, { state: item.state, over: read(item, signal) });
    }
  }

  /** Never rejects. The instrument stays taken until its driver is back, even after a time-out. */
  async function read({ state, done, failed }: Waiting, signal: AbortSignal): Promise<void> {
    const { probe } = state;
    const timeout = AbortSignal.timeout(probe.timeoutMs);
    const ended = AbortSignal.any([signal, timeout]);
    const driverIsBack = Promise.withResolvers<void>();
    try {
      const taking = await untilAborted(probe.source.read(ended).finally(driverIsBack.resolve), ended);
      keep(probe.point, taking);
      await taking.settle();
      succeeded(state, taking);
      done?.(taking);
    } catch (error) {
      const shown = timeout.aborted && !signal.aborted ? outOfTime(probe) : error;
      if (!signal.aborted) failedReading(state, shown);
      failed?.(shown);
    } finally {
      onChange();
      await driverIsBack.promise;
      endedMs.set(probe.instrumentKey, clock.read().uptimeMs);
      reading.delete(probe.instrumentKey);
    }
  }

  function succeeded(state: ProbeState, { readings, refused }: Taking): void {
    const { wallMs } = clock.read();
    state.lastSuccessMs = wallMs;
    if (readings.length > 0) state.lastSweepMs = Math.max(...readings.map(({ sweep }) => sweep.atMs));
    const action = 'look into refused/, where the reason stands beside each file';
    state.lastError = refused.length === 0 ? null : { atMs: wallMs, message: refused.join('; '), action };
    for (const line of refused) say(`${state.probe.point}: ${line}`);
  }

  function failedReading(state: ProbeState, error: unknown): void {
    const message = error instanceof Error ? error.message : String(error);
    const action = error instanceof ProbeError ? error.action : 'this was not foreseen: see the log';
    state.lastError = { atMs: clock.read().wallMs, message, action };
    say(`${state.probe.point}: ${message}: ${action}`);
    if (!(error instanceof ProbeError) && error instanceof Error && error.stack !== undefined)
      say(error.stack);
  }
}

interface Waiting {
  readonly state: ProbeState;
  readonly done?: (taking: Taking) => void;
  readonly failed?: (error: unknown) => void;
}

function outOfTime({ timeoutMs }: RunnerProbe): ProbeError {
  return new ProbeError(
    'instrument',
    `no reading within ${timeoutMs / 1000} s`,
    'look at the instrument and the way to it; a slow one needs a longer "timeout"',
  );
}
