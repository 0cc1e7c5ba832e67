import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';

/**
 * Marks the folder as this process's; answers how to let go of it. Throws when another live Levelkeep has it; the mark
 * of one that died is taken over.
 */
export function claimFolder(folder: string): () => void {
  const file = path.join(folder, 'owner');
  const mark = `${process.pid}\n`;
  try {
    writeFileSync(file, mark, { flag: 'wx' });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
    const owner = Number(readFileSync(file, 'utf8'));
    if (isLiveNode(owner)) {
      throw new Error(
        `the data folder ${folder} is in use by another Levelkeep (process ${owner}): stop that one, or name another folder in LEVELKEEP_DATA`,
      );
    }
    writeFileSync(file, mark);
  }
  return () => rmSync(file, { force: true });
}

/** A process of that number lives and is a Node program; elsewhere than on Linux, living is enough. */
function isLiveNode(pid: number): boolean {
  if (!Number.isInteger(pid) || pid <= 0) return false;
  try {
    process.kill(pid, 0);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ESRCH') return false;
  }
  try {
    return readFileSync(`/proc/${pid}/cmdline`, 'utf8').includes('node');
  } catch {
    return process.platform !== 'linux';
  }
}
