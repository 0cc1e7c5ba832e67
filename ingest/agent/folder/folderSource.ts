import { readFile, writeFile } from 'node:fs/promises';
import { ProbeError } from '../../probe/probeError.ts';
import type { AgentClock } from '../clock.ts';
import type { Reading, Source } from '../source.ts';
import { moveFile } from './moveFile.ts';
import { type QuietFile, quietFiles } from './quietFiles.ts';
import { type FileFormat, readFileSweeps } from './readFileSweeps.ts';

export interface FolderOptions {
  readonly folder: string;
  readonly endings: readonly string[];
  readonly quietMs: number;
  readonly format: FileFormat;
  readonly instrument: string | null;
  readonly zone: string;
  readonly clock: AgentClock;
}

/** What is left waits for the next reading. */
const MOST_FILES = 200;
const MOST_FILE_BYTES = 16 * 1024 * 1024;

/**
 * A folder that a person or a meter puts files into. A file goes to `done/` once its sweeps are in safety, to
 * `refused/` with the reason in a text file beside it when it can't be read. Its times are the meter's.
 */
export function createFolderSource(options: FolderOptions): Source {
  return {
    async read(signal) {
      const files = await findFiles(options, signal);
      const readings: Reading[] = [];
      const taken: QuietFile[] = [];
      const refused: string[] = [];
      for (const file of files.slice(0, MOST_FILES)) {
        signal.throwIfAborted();
        try {
          readings.push(...(await readSweeps(file, options)));
          taken.push(file);
        } catch (error) {
          const reason = error instanceof Error ? error.message : String(error);
          refused.push(`${file.name}: ${reason}`);
          await refuse(file, reason);
        }
      }
      return {
        readings,
        refused,
        settle: async () => {
          for (const file of taken) await moveFile(file.path, 'done');
        },
      };
    },
  };
}

async function findFiles(options: FolderOptions, signal: AbortSignal): Promise<QuietFile[]> {
  const { folder, endings, quietMs, clock } = options;
  try {
    return await quietFiles(folder, { endings, quietMs, nowMs: clock.read().wallMs }, signal);
  } catch (cause) {
    signal.throwIfAborted();
    const reason = cause instanceof Error ? cause.message : String(cause);
    throw new ProbeError(
      'instrument',
      `the folder ${folder} can’t be looked into: ${reason}`,
      'make it, or check its path and who may read and write it',
      { cause },
    );
  }
}

async function readSweeps(file: QuietFile, { format, instrument, zone }: FolderOptions): Promise<Reading[]> {
  if (file.bytes > MOST_FILE_BYTES) throw new Error(`it has more than ${MOST_FILE_BYTES} bytes`);
  const facts = { name: file.name, modifiedMs: file.modifiedMs, instrument, zone };
  const sweeps = readFileSweeps(await readFile(file.path), format, facts);
  return sweeps.map((sweep) => ({ sweep, uptimeMs: null }));
}

/** The reason is written last, under the name that the file got. */
async function refuse(file: QuietFile, reason: string): Promise<void> {
  const moved = await moveFile(file.path, 'refused');
  await writeFile(
    `${moved}.reason.txt`,
    `${reason}\n\nMend the file or the mapping, and put the file back.\n`,
  );
}
