import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';

/**
 * Marks the folder as this process's; answers how to let go of it. Throws when another live Levelkeep has it; the mark
 * of one that died is taken over.
 */
export function claimFolder(folder: string): () => void {
  const file = path.join(folder, 'owner');
  const mark = markOf(process.pid) ?? String(process.pid);
  try {
    writeFileSync(file, mark, { flag: 'wx' });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
    const found = readFileSync(file, 'utf8');
    const owner = Number.parseInt(found, 10);
    if (markOf(owner) === found) {
      throw new Error(
        `the data folder ${folder} is in use by another Levelkeep (process ${owner}): stop that one, or name another folder in LEVELKEEP_DATA`,
      );
    }
    writeFileSync(file, mark);
  }
  return () => rmSync(file, { force: true });
}

/**
 * Number of a live process and, on Linux, when it began: a container gives the same numbers again at every start,
 * so that a number alone would take the dead for living. Null when no such process lives.
 */
function markOf(pid: number): string | null {
  if (!Number.isInteger(pid) || pid <= 0) return null;
  if (process.platform !== 'linux') return isLive(pid) ? String(pid) : null;
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    // After the name in brackets: the state, then eighteen fields, then the time of the start in clock ticks.
    const [state, ...fields] = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    return state === 'Z' ? null : `${pid} ${fields[18]}`;
  } catch {
    return null;
  }
}

function isLive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== 'ESRCH';
  }
}
