import { medianInPlace } from './medianInPlace.ts';

/** Near this many blocks keep the work small while a bad stretch of the band still spoils only a few of them. */
const BLOCKS = 13;

interface Block {
  readonly group: number;
  readonly x: number;
  readonly y: number;
}

/**
 * Slope of a line through points that may be badly wrong: neighbours of a group are gathered in blocks of an odd number
 * of points, each block is replaced by its medians, and the slope is the repeated median (Siegel 1982) over the
 * blocks: the median, over blocks, of the median slope to the other blocks of the same group.
 *
 * Breakdown: a block is lost when half of its points are wrong, and the slope when half of the blocks are; so it holds
 * with any quarter of the points wrong, and with a wrong stretch of two fifths of the band.
 *
 * @param x rising within each group
 * @param group of each point, 0 to `groups` - 1
 * @returns null when no group has two blocks at different x
 */
export function blockSlope(
  x: Float64Array,
  y: Float64Array,
  group: Uint8Array,
  groups: number,
): number | null {
  const blocks = blockMedians(x, y, group, groups);
  const slopes = new Float64Array(blocks.length);
  const perBlock = new Float64Array(blocks.length);
  let count = 0;

  for (const block of blocks) {
    let others = 0;
    for (const other of blocks) {
      if (other.group === block.group && other.x !== block.x) {
        slopes[others++] = (other.y - block.y) / (other.x - block.x);
      }
    }
    if (others > 0) perBlock[count++] = medianInPlace(slopes, others);
  }
  return count === 0 ? null : medianInPlace(perBlock, count);
}

function blockMedians(x: Float64Array, y: Float64Array, group: Uint8Array, groups: number): Block[] {
  const size = 2 * Math.round((x.length / BLOCKS - 1) / 2) + 1;
  const blocks: Block[] = [];
  const memberX = new Float64Array(x.length);
  const memberY = new Float64Array(x.length);

  for (let g = 0; g < groups; g++) {
    let members = 0;
    for (let i = 0; i < x.length; i++) {
      if (group[i] !== g) continue;
      memberX[members] = x[i]!;
      memberY[members++] = y[i]!;
    }
    const blockCount = Math.max(1, Math.round(members / size));
    for (let b = 0; b < blockCount && members > 0; b++) {
      const from = Math.floor((b * members) / blockCount);
      const to = Math.floor(((b + 1) * members) / blockCount);
      blocks.push({
        group: g,
        x: medianInPlace(memberX.subarray(from, to)),
        y: medianInPlace(memberY.subarray(from, to)),
      });
    }
  }
  return blocks;
}
