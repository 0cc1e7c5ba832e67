import { normalCdf } from '../statistics/normal.ts';

/**
 * Deviates of a standard normal, either side, that `looks` independent looks pass once on average.
 * @throws RangeError below two looks
 */
export function deviatesForLooks(looks: number): number {
  if (!(looks >= 2)) throw new RangeError(`looks is ${looks}; give 2 or more`);
  let low = 0;
  let high = 12;
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (2 * normalCdf(-middle) * looks > 1) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * χ² with two degrees of freedom that `looks` independent looks pass once on average: its upper tail is exp(−χ²/2).
 * @throws RangeError below one look
 */
export function chiSquareForLooks(looks: number): number {
  if (!(looks >= 1)) throw new RangeError(`looks is ${looks}; give 1 or more`);
  return 2 * Math.log(looks);
}
