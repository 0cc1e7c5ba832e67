/**
 * Randomness without state: every draw is a function of its seed and of what it is for, so any moment can be
 * simulated alone, in any order, and comes out the same each time.
 */

/** Joins words and whole numbers to one 32-bit seed. Text goes in by FNV-1a, numbers by {@link scramble}. */
export function seedFrom(...parts: (string | number)[]): number {
  let hash = 0x811c9dc5;
  for (const part of parts) hash = scramble(hash ^ (typeof part === 'string' ? textHash(part) : fold(part)));
  return hash;
}

/** Uniform in (0, 1), the same for the same seed and index. */
export function uniformAt(seed: number, index: number): number {
  return (scramble(seed ^ scramble(fold(index))) + 0.5) / 4294967296;
}

/** Standard normal, the same for the same seed and index, by the Box–Muller transform (1958). */
export function gaussianAt(seed: number, index: number): number {
  const radius = Math.sqrt(-2 * Math.log(uniformAt(seed, index)));
  return radius * Math.cos(2 * Math.PI * uniformAt(seed ^ 0x9e3779b9, index));
}

/** A stream of uniform numbers in [0, 1): mulberry32 by Tommy Ettinger, given to the public domain. */
export function uniformStream(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** A stream of standard normal numbers; each Box–Muller pair gives two. */
export function gaussianStream(seed: number): () => number {
  const uniform = uniformStream(seed);
  let spare: number | null = null;

  return () => {
    if (spare !== null) {
      const value = spare;
      spare = null;
      return value;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
}

/** The finishing step of MurmurHash3 by Austin Appleby, given to the public domain. */
function scramble(value: number): number {
  let hash = value;
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return (hash ^ (hash >>> 16)) >>> 0;
}

/** A whole number beyond 32 bits, such as a time in milliseconds, keeps all its digits in the fold. */
function fold(value: number): number {
  const low = value >>> 0;
  const high = Math.floor(value / 4294967296);
  return high === 0 ? low : low ^ Math.imul(high, 0x9e3779b1);
}

function textHash(text: string): number {
  let hash = 0x811c9dc5;
  for (let index = 0; index < text.length; index += 1) {
    hash = Math.imul(hash ^ text.charCodeAt(index), 0x01000193);
  }
  return hash >>> 0;
}
