import type { Driver } from '../driver.ts';
import { ProbeError } from '../probeError.ts';
import { type HttpOptions, httpReadings } from './httpReadings.ts';

export interface HttpDriverOptions extends HttpOptions {
  /** Wall clock, milliseconds since 1970-01-01 UTC. */
  readonly now: () => number;
  /** Told, line by line, what a person should know about each reading. */
  readonly note: (line: string) => void;
}

/** An instrument that answers a GET with JSON. Where the answer holds several sweeps, the newest is the reading. */
export function createHttpDriver({ now, note, ...options }: HttpDriverOptions): Driver {
  return {
    async read(signal) {
      const readings = await httpReadings(options, { wallMs: now(), uptimeMs: 0 }, signal);
      const [newest, ...older] = readings.map(({ sweep }) => sweep).sort((a, b) => b.atMs - a.atMs);
      if (older.length > 0) note(`the answer holds ${older.length + 1} sweeps; the newest is taken`);
      if (newest !== undefined) return newest;
      throw new ProbeError(
        'instrument',
        `${options.target.url.host} answers with no sweep`,
        'look whether the instrument has measured yet',
      );
    },
  };
}
