import { readFile } from 'node:fs/promises';

/** Linux counts in hundredths of a second. */
const TICKS_A_SECOND = 100;
const [UTIME, STIME] = [11, 12];

/** CPU seconds that a process has used so far, and the memory it holds, MB; null where /proc doesn't tell. */
export async function processUse(pid: number): Promise<{ cpuS: number; residentMb: number } | null> {
  try {
    const stat = await readFile(`/proc/${pid}/stat`, 'utf8');
    const fields = stat
      .slice(stat.lastIndexOf(')') + 2)
      .split(' ')
      .map(Number);
    const status = await readFile(`/proc/${pid}/status`, 'utf8');
    const [, kilobytes] = /^VmRSS:\s+(\d+) kB$/m.exec(status) ?? [];
    return { cpuS: (fields[UTIME]! + fields[STIME]!) / TICKS_A_SECOND, residentMb: Number(kilobytes) / 1000 };
  } catch {
    return null;
  }
}
