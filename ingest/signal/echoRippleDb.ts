/**
 * Peak-to-peak ripple that one echo puts on the response: 20·log10((1 + r) / (1 - r)), r the echo's amplitude.
 *
 * @param echoDbc echo relative to the carrier, below 0
 * @throws RangeError when the echo isn't weaker than the carrier
 *
 * @example echoRippleDb(-20) // 1.743
 */
export function echoRippleDb(echoDbc: number): number {
  if (!(echoDbc < 0)) throw new RangeError(`echoDbc is ${echoDbc}; an echo is below 0 dBc`);
  const r = 10 ** (echoDbc / 20);
  return 20 * Math.log10((1 + r) / (1 - r));
}
