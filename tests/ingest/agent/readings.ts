import type { Reading } from '../../../ingest/agent/source.ts';
import type { Sweep } from '../../../ingest/sweep.ts';

/** Two channels at `atMs`, stamped by this machine at an uptime, or by the instrument (null). */
export function readingAt(atMs: number, changes: Partial<Sweep> = {}, uptimeMs: number | null = 0): Reading {
  return {
    sweep: {
      atMs,
      instrument: 'probe-7',
      ambientC: null,
      freqMhz: [57, 63],
      levelDbmv: [20.1, null],
      merDb: null,
      cnrDb: null,
      berPre: null,
      berPost: null,
      lostMhz: [],
      ...changes,
    },
    uptimeMs,
  };
}
