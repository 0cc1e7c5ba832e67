import type { Taking } from './source.ts';

/** What a reading brought, a line a sweep. */
export function readingLines(point: string, { readings, refused }: Taking): string[] {
  const sweeps = readings.map(({ sweep }) => {
    const at = new Date(sweep.atMs).toISOString();
    const levels = sweep.levelDbmv.filter((level) => level !== null);
    const range = levels.length === 0 ? 'no level' : `${Math.min(...levels)} to ${Math.max(...levels)} dBmV`;
    return `${point}, ${sweep.instrument}, ${at}: ${sweep.freqMhz.length} channels, ${range}`;
  });
  if (readings.length === 0 && refused.length === 0) return [`${point}: there is nothing to read`];
  return [...sweeps, ...refused.map((line) => `${point}: ${line}`)];
}
