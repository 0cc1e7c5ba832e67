import type { LinePoints } from './linePoints.ts';
import { medianInPlace } from './medianInPlace.ts';

/** Near this many blocks keep the work small while a bad stretch of the band still spoils only a few of them. */
const BLOCKS = 13;

interface Block {
  readonly group: number;
  readonly x: number;
  readonly y: number;
}

/**
 * Slopes, one of which is near that of the line that most points lie on, however wrong the others are. Neighbours of a group
 * are gathered in blocks of an odd number of points and each block is replaced by its medians. Then
 *
 * - the repeated median (Siegel 1982) over the blocks: the median, over blocks, of the median slope to the other blocks
 *   of the same group. Steady, and right while fewer than half of the blocks are wrong;
 * - the median slope from each block to the next. Noisier, but a whole stretch of wrong blocks spoils two of these only,
 *   one at each end.
 *
 * A block is wrong when half of its points are, so points scattered with malice can spoil it with a quarter of them.
 *
 * @param points x rising within each group
 * @returns null when no group has two blocks at different x
 */
export function blockSlopes(points: LinePoints): readonly [number, number] | null {
  const blocks = blockMedians(points);
  const [toOthers, perBlock, toNext] = points.room;
  let count = 0;
  let nextCount = 0;

  for (let i = 0; i < blocks.length; i++) {
    const block = blocks[i]!;
    let others = 0;
    for (const other of blocks) {
      const dx = other.x - block.x;
      if (dx !== 0 && other.group === block.group) toOthers[others++] = (other.y - block.y) / dx;
    }
    if (others > 0) perBlock[count++] = medianInPlace(toOthers, others);

    const next = blocks[i + 1];
    if (next?.group === block.group) toNext[nextCount++] = (next.y - block.y) / (next.x - block.x);
  }
  return count === 0 ? null : [medianInPlace(perBlock, count), medianInPlace(toNext, nextCount)];
}

function blockMedians({ count, groups, x, y, group, room }: LinePoints): Block[] {
  const size = 2 * Math.round((count / BLOCKS - 1) / 2) + 1;
  const [memberX, memberY, block] = room;
  const blocks: Block[] = [];

  for (let g = 0; g < groups; g++) {
    let members = 0;
    for (let i = 0; i < count; i++) {
      if (group[i] !== g) continue;
      memberX[members] = x[i]!;
      memberY[members++] = y[i]!;
    }
    const blockCount = members === 0 ? 0 : Math.max(1, Math.round(members / size));
    for (let b = 0; b < blockCount; b++) {
      const from = Math.floor((b * members) / blockCount);
      const to = Math.floor(((b + 1) * members) / blockCount);
      for (let i = from; i < to; i++) block[i - from] = memberY[i]!;
      blocks.push({
        group: g,
        x: (memberX[(from + to - 1) >> 1]! + memberX[(from + to) >> 1]!) / 2,
        y: medianInPlace(block, to - from),
      });
    }
  }
  return blocks;
}
