import { readdir, stat } from 'node:fs/promises';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';

export interface QuietFile {
  readonly path: string;
  readonly name: string;
  readonly modifiedMs: number;
  readonly bytes: number;
}

const SECOND_LOOK_MS = 1_000;

export interface QuietOptions {
  readonly endings: readonly string[];
  /** Nobody has written to the file for so long. */
  readonly quietMs: number;
  readonly nowMs: number;
}

/**
 * The files of a folder that nobody is writing any more, oldest first: last written a while ago, by whichever
 * clock, and no different at a second look. Hidden files and folders don't count.
 */
export async function quietFiles(
  folder: string,
  options: QuietOptions,
  signal: AbortSignal,
): Promise<QuietFile[]> {
  const first = await look(folder, options);
  if (first.length === 0) return [];
  await sleep(SECOND_LOOK_MS, undefined, { signal });
  const second = new Map((await look(folder, options)).map((file) => [file.name, file]));
  return first
    .filter(({ name, modifiedMs, bytes }) => {
      const again = second.get(name);
      return again?.modifiedMs === modifiedMs && again.bytes === bytes;
    })
    .sort((a, b) => a.modifiedMs - b.modifiedMs);
}

async function look(folder: string, { endings, quietMs, nowMs }: QuietOptions): Promise<QuietFile[]> {
  const entries = await readdir(folder, { withFileTypes: true });
  const files: QuietFile[] = [];
  for (const entry of entries) {
    const isOurs = endings.some((ending) => entry.name.toLowerCase().endsWith(ending.toLowerCase()));
    if (!entry.isFile() || entry.name.startsWith('.') || !isOurs) continue;
    const file = path.join(folder, entry.name);
    const facts = await stat(file).catch(() => null);
    // A file from the future was written before the clock was set back.
    if (facts === null || Math.abs(nowMs - facts.mtimeMs) < quietMs) continue;
    files.push({ path: file, name: entry.name, modifiedMs: facts.mtimeMs, bytes: facts.size });
  }
  return files;
}
