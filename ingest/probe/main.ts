import { contractSweep } from './contractSweep.ts';
import { createModemDriver } from './modem/modemDriver.ts';
import { type ProbeTask, parseTask } from './options.ts';
import { EXIT_CODES, ProbeError } from './probeError.ts';
import { runEvery, runOnce } from './runProbe.ts';
import { sendSweeps } from './sendSweeps.ts';
import { USAGE } from './usage.ts';

/** What a shell reports for a program ended by Ctrl+C. */
const EXIT_INTERRUPTED = 130;

const stop = new AbortController();
process.once('SIGINT', () => stop.abort());
process.once('SIGTERM', () => stop.abort());

try {
  await run(parseTask(process.argv.slice(2), process.env), stop.signal);
} catch (error) {
  process.exitCode = stop.signal.aborted ? EXIT_INTERRUPTED : fail(error);
}

async function run(task: ProbeTask, signal: AbortSignal): Promise<void> {
  if (task.kind === 'help') return console.log(USAGE);

  // Standard output carries the sweep and nothing else, so that it can be piped.
  const say = (line: string) => console.error(line);
  for (const warning of task.warnings) say(`caution: ${warning}`);
  const { target, instrument, point } = task;
  const driver = createModemDriver({ target, instrument, now: Date.now, note: say });

  if (task.kind === 'print') {
    console.log(JSON.stringify({ sweeps: [contractSweep(point, await driver.read(signal))] }, null, 2));
    return;
  }
  const { server } = task;
  const deps = {
    driver,
    point,
    say,
    send: (sweeps: Parameters<typeof sendSweeps>[1], end: AbortSignal) => sendSweeps(server, sweeps, end),
  };
  if (task.kind === 'once') await runOnce(deps, signal);
  else await runEvery(deps, task.intervalMs, signal);
}

function fail(error: unknown): number {
  if (!(error instanceof ProbeError)) {
    console.error(error);
    return 1;
  }
  console.error(`${error.message}\n→ ${error.action}`);
  return EXIT_CODES[error.kind];
}
