import { BLOCKS_A_DAY } from '../blocks.ts';

/** A ramp from its onset on, or a step that single sweeps couldn't tell. */
export type SlowKind = 'ramp' | 'step';

/**
 * Mean over a block of what has grown since the onset, for 1 dB a day (ramp) or 1 dB (step). `fromBlock` is when it began, in blocks; the
 * onset may lie within a block.
 */
export function grownBy(kind: SlowKind, fromBlock: number, block: number): number {
  const since = block - fromBlock;
  if (since <= -1) return 0;
  if (kind === 'step') return Math.min(1, since + 1);
  return (since >= 0 ? since + 0.5 : (since + 1) ** 2 / 2) / BLOCKS_A_DAY;
}
