/** In vacuum, metres a microsecond (exact by definition of the metre). */
const LIGHT_M_PER_US = 299.792458;

/**
 * How far apart the two mismatches lie whose echo puts a ripple on the response: the echo's round trip takes one over
 * the ripple's period.
 *
 * @param ripplePeriodMhz from crest to crest
 * @param velocityFactor of the cable; 0.85 for foam drop cable (from memory: read it off the cable's data)
 * @throws RangeError when the period isn't above 0 or the factor isn't in 0 to 1
 *
 * @example echoDistanceM(5, 0.87) // 26.08
 */
export function echoDistanceM(ripplePeriodMhz: number, velocityFactor: number): number {
  if (!(ripplePeriodMhz > 0)) throw new RangeError(`ripplePeriodMhz is ${ripplePeriodMhz}; give one above 0`);
  if (!(velocityFactor > 0 && velocityFactor <= 1)) {
    throw new RangeError(`velocityFactor is ${velocityFactor}; give a fraction above 0 and up to 1`);
  }
  return (velocityFactor * LIGHT_M_PER_US) / (2 * ripplePeriodMhz);
}
