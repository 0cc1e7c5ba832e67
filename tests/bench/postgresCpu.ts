import { readFile } from 'node:fs/promises';
import path from 'node:path';

/** Linux counts in hundredths of a second. */
const TICKS_A_SECOND = 100;
const [UTIME, CUTIME, CSTIME] = [11, 13, 14];

/** CPU seconds that the PostgreSQL in `folder` and all its processes have used so far; null where /proc doesn't tell. */
export async function postgresCpu(folder: string): Promise<number | null> {
  try {
    const pidFile = await readFile(path.join(folder, 'postgres', 'postmaster.pid'), 'utf8');
    const pid = pidFile.split('\n')[0]!;
    const children = (await readFile(`/proc/${pid}/task/${pid}/children`, 'utf8')).trim().split(' ');
    // The dead are counted with their parent.
    const ofChildren = await Promise.all(children.map((child) => ticksOf(child, UTIME, CUTIME)));
    const own = await ticksOf(pid, UTIME, CSTIME + 1);
    return (own + ofChildren.reduce((sum, ticks) => sum + ticks, 0)) / TICKS_A_SECOND;
  } catch {
    return null;
  }
}

/** Sum of the fields `from` up to `to` after the name of the process in its stat. */
async function ticksOf(pid: string, from: number, to: number): Promise<number> {
  const stat = await readFile(`/proc/${pid}/stat`, 'utf8');
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  return fields.slice(from, to).reduce((sum, field) => sum + Number(field), 0);
}
