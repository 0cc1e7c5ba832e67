import { type HttpOptions, httpReadings } from '../../probe/http/httpReadings.ts';
import type { AgentClock } from '../clock.ts';
import type { Source } from '../source.ts';

/** An instrument that answers a GET with JSON: all sweeps of the answer, those that are known already among them. */
export function createHttpSource(options: HttpOptions, clock: AgentClock): Source {
  return {
    async read(signal) {
      const readings = await httpReadings(options, clock.read(), signal);
      return { readings, refused: [], settle: async () => {} };
    },
  };
}
