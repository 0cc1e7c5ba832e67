import type { Mark, Place } from './drawing.ts';

/** Lines through values in order, broken where one is missing. */
export function brokenLine(
  places: readonly (Place | null)[],
  style: Omit<Extract<Mark, { mark: 'line' }>, 'mark' | 'through'>,
): Mark[] {
  const runs: Place[][] = [[]];
  for (const place of places) {
    if (place === null) runs.push([]);
    else runs.at(-1)!.push(place);
  }
  return runs.filter((run) => run.length > 1).map((through) => ({ mark: 'line', through, ...style }));
}
