import { meanDaysAfter, shareAfter } from '../afterOnset.ts';
import { BLOCK_MS } from '../types.ts';

/** A ramp from its onset on, or a step that single sweeps couldn't tell. */
export type SlowKind = 'ramp' | 'step';

/**
 * Mean over a block of what has grown since the onset, for 1 dB a day (ramp) or 1 dB (step). `fromBlock` is when it began, in blocks; the
 * onset may lie within a block.
 */
export function grownBy(kind: SlowKind, fromBlock: number, block: number): number {
  const [onsetMs, fromMs, toMs] = [fromBlock * BLOCK_MS, block * BLOCK_MS, (block + 1) * BLOCK_MS];
  return kind === 'step' ? shareAfter(onsetMs, fromMs, toMs) : meanDaysAfter(onsetMs, fromMs, toMs);
}
