import { spawn } from 'node:child_process';
import { ProbeError } from '../../probe/probeError.ts';
import type { AgentClock } from '../clock.ts';
import type { Source } from '../source.ts';
import { contractReadings } from './contractReadings.ts';

export interface CommandOptions {
  readonly program: string;
  readonly args: readonly string[];
  readonly folder: string;
  readonly point: string;
  readonly instrument: string | null;
  readonly clock: AgentClock;
}

const MOST_OUTPUT_BYTES = 8 * 1024 * 1024;
const MOST_TOLD_CHARS = 400;

/**
 * A program, run without a shell, that prints its sweeps as the contract's JSON. A sweep without `at` gets the time
 * at which the program was started. The program is killed when the signal aborts or it prints without end.
 */
export function createCommandSource(options: CommandOptions): Source {
  return {
    async read(signal) {
      const startedAt = options.clock.read();
      const output = await run(options, signal);
      const { point, instrument, program } = options;
      try {
        const readings = contractReadings(output, { point, instrument, startedAt });
        return { readings, refused: [], settle: async () => {} };
      } catch (cause) {
        const reason = cause instanceof Error ? cause.message : String(cause);
        throw new ProbeError(
          'instrument',
          `${program}: what it printed can’t be used: ${reason}`,
          'run it by hand, and mend what it prints on standard output',
          { cause },
        );
      }
    },
  };
}

function run({ program, args, folder }: CommandOptions, signal: AbortSignal): Promise<string> {
  return new Promise((resolve, reject) => {
    signal.throwIfAborted();
    const child = spawn(program, [...args], {
      cwd: folder,
      stdio: ['ignore', 'pipe', 'pipe'],
      detached: true,
    });
    const chunks: Buffer[] = [];
    let bytes = 0;
    let told = '';

    const end = () => killGroup(child.pid);
    signal.addEventListener('abort', end, { once: true });
    child.stdout.on('data', (chunk: Buffer) => {
      bytes += chunk.length;
      if (bytes > MOST_OUTPUT_BYTES) end();
      else chunks.push(chunk);
    });
    child.stderr.on('data', (chunk: Buffer) => {
      told = (told + chunk.toString()).slice(-MOST_TOLD_CHARS);
    });
    child.on('error', (cause) => {
      signal.removeEventListener('abort', end);
      reject(
        new ProbeError(
          'instrument',
          `${program} can’t be started: ${cause.message}`,
          'check the path of "program", and that this user may run it',
          { cause },
        ),
      );
    });
    child.on('close', (code, killedBy) => {
      signal.removeEventListener('abort', end);
      if (signal.aborted) return reject(signal.reason);
      if (bytes > MOST_OUTPUT_BYTES)
        return reject(failed(program, `printed more than ${MOST_OUTPUT_BYTES} bytes`, told));
      if (code !== 0) return reject(failed(program, `ended with ${killedBy ?? `exit code ${code}`}`, told));
      resolve(Buffer.concat(chunks).toString());
    });
  });
}

function failed(program: string, what: string, told: string): ProbeError {
  const line = told.replaceAll(/\s+/g, ' ').trim();
  return new ProbeError(
    'instrument',
    `${program} ${what}${line === '' ? ', and said nothing on standard error' : `: ${line}`}`,
    'run it by hand as the agent’s user, with the same arguments',
  );
}

/** The program and what it started: a child left behind would keep its pipes open. */
function killGroup(pid: number | undefined): void {
  if (pid === undefined) return;
  try {
    process.kill(-pid, 'SIGKILL');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ESRCH') throw error;
  }
}
