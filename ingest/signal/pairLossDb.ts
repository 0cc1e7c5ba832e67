/** Categories of balanced pair with a loss formula here. */
export type PairCategory = 'cat5e' | 'cat6' | 'cat6A';

interface PairModel {
  readonly root: number;
  readonly linear: number;
  readonly inverseRoot: number;
  readonly topMhz: number;
}

/** dB per 100 m at 20 °C: root·√f + linear·f + inverseRoot/√f. After TIA-568, to be confirmed against the current text. */
const MODELS: Readonly<Record<PairCategory, PairModel>> = {
  cat5e: { root: 1.967, linear: 0.023, inverseRoot: 0.05, topMhz: 100 },
  cat6: { root: 1.808, linear: 0.017, inverseRoot: 0.2, topMhz: 250 },
  cat6A: { root: 1.82, linear: 0.0091, inverseRoot: 0.25, topMhz: 500 },
};

export interface PairConditions {
  /** Of the cable, 20 °C by default. Losses are not reduced below 20 °C. */
  readonly temperatureC?: number;
  /** Screened pairs lose half as much more when warm. */
  readonly screened?: boolean;
}

/**
 * Insertion loss of balanced pair, dB. Above 20 °C unscreened pairs lose 0.4 % more per °C up to 40 °C and 0.6 % per °C
 * up to 60 °C, screened ones 0.2 % per °C.
 *
 * Source: after TIA-568, to be confirmed against the current text.
 *
 * @throws RangeError when the frequency lies outside 1 MHz to the category's top, the length is negative, or the cable is
 *   hotter than 60 °C
 *
 * @example pairLossDb('cat6', 100, 100) // 19.8
 */
export function pairLossDb(
  category: PairCategory,
  freqMhz: number,
  lengthM: number,
  { temperatureC = 20, screened = false }: PairConditions = {},
): number {
  const { root, linear, inverseRoot, topMhz } = MODELS[category];
  if (!(freqMhz >= 1 && freqMhz <= topMhz)) {
    throw new RangeError(`freqMhz is ${freqMhz}; ${category} is specified from 1 to ${topMhz} MHz`);
  }
  if (!(lengthM >= 0)) throw new RangeError(`lengthM is ${lengthM}; give 0 or more`);

  const per100M = root * Math.sqrt(freqMhz) + linear * freqMhz + inverseRoot / Math.sqrt(freqMhz);
  return (per100M * lengthM * temperatureFactor(temperatureC, screened)) / 100;
}

function temperatureFactor(temperatureC: number, screened: boolean): number {
  if (!(temperatureC <= 60)) throw new RangeError(`temperatureC is ${temperatureC}; specified up to 60 °C`);
  if (screened) return 1 + 0.002 * Math.max(0, temperatureC - 20);
  const warm = Math.min(20, Math.max(0, temperatureC - 20));
  const hot = Math.max(0, temperatureC - 40);
  return 1 + 0.004 * warm + 0.006 * hot;
}
