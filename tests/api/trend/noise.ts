/** Uniform numbers in (0, 1) that a seed fixes (xorshift). */
export function uniformNoise(seed: number): () => number {
  let state = (seed * 2654435761 + 1) >>> 0 || 1;
  for (let i = 0; i < 8; i++) next();
  function next(): number {
    state ^= state << 13;
    state >>>= 0;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return (state + 0.5) / 4294967296;
  }
  return next;
}

/** Standard normal numbers that a seed fixes (Box and Muller). */
export function normalNoise(seed: number): () => number {
  const uniform = uniformNoise(seed);
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}
