import type { Driver } from '../../probe/driver.ts';
import type { AgentClock } from '../clock.ts';
import type { Source } from '../source.ts';

/** A driver that gives one sweep a reading, as a source; it takes its time from the clock given to it. */
export function driverSource(createDriver: (now: () => number) => Driver, clock: AgentClock): Source {
  let stampedMs = 0;
  const driver = createDriver(() => {
    const { wallMs, uptimeMs } = clock.read();
    stampedMs = uptimeMs;
    return wallMs;
  });
  return {
    async read(signal) {
      const sweep = await driver.read(signal);
      return { readings: [{ sweep, uptimeMs: stampedMs }], refused: [], settle: async () => {} };
    },
  };
}
