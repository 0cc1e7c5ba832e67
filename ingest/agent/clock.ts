import { uptime } from 'node:os';

/** Wall clock and time since the machine started, both in milliseconds, read together. */
export interface ClockReading {
  readonly wallMs: number;
  /** Counts sleep too, so that sleep isn't taken for a jump. */
  readonly uptimeMs: number;
}

/** The wall clock was set: what lies before `uptimeMs` was stamped too early by `deltaMs`. */
export interface ClockJump {
  readonly uptimeMs: number;
  readonly deltaMs: number;
  readonly wallMs: number;
}

export interface AgentClock {
  /** The time now. Tells of a jump first, so that what is stamped next is stamped after it. */
  read(): ClockReading;
}

const LEAST_JUMP_MS = 2_000;
/** A clock that is being slewed runs up to 0.05 % fast or slow (adjtime), and a crystal is off by less. */
const SLEW_SHARE = 0.001;

/** The machine's two clocks. */
export function machineTime(): ClockReading {
  return { wallMs: Date.now(), uptimeMs: Math.round(uptime() * 1000) };
}

/** How far the wall clock was set between two readings, milliseconds; 0 when it just ran. */
export function jumpBetween(before: ClockReading, after: ClockReading): number {
  const elapsedMs = after.uptimeMs - before.uptimeMs;
  const deltaMs = after.wallMs - before.wallMs - elapsedMs;
  return Math.abs(deltaMs) > LEAST_JUMP_MS + SLEW_SHARE * Math.abs(elapsedMs) ? deltaMs : 0;
}

/**
 * A clock that notices when the wall clock is set, by the uptime beside it. `since` is an earlier reading in the
 * same run of the machine, null when there is none.
 */
export function createAgentClock(
  time: () => ClockReading,
  since: ClockReading | null,
  onJump: (jump: ClockJump) => void,
): AgentClock {
  let last = since;
  return {
    read() {
      const now = time();
      const deltaMs = last === null ? 0 : jumpBetween(last, now);
      last = now;
      if (deltaMs !== 0) onJump({ uptimeMs: now.uptimeMs, deltaMs, wallMs: now.wallMs });
      return now;
    },
  };
}
