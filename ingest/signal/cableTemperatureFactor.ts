const REFERENCE_C = 20;
/** 0.0011 per °F in a maker's note is 0.00198 per °C; the rounded figure is after the same family, to be confirmed. */
const PER_C = 0.002;

/** What coax loss at 20 °C is multiplied by at another cable temperature: 1 + 0.002·(t − 20). */
export function cableTemperatureFactor(temperatureC: number): number {
  return 1 + PER_C * (temperatureC - REFERENCE_C);
}
