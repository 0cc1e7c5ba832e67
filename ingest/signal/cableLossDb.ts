import { type CableModel, COAX_MODELS, type CoaxType } from './cableModel.ts';
import { cableTemperatureFactor } from './cableTemperatureFactor.ts';

export type { CoaxType } from './cableModel.ts';

/**
 * Loss of a run of coaxial cable, dB: (a·√f + b·f)·length, scaled as a whole by temperature, so that a warmer cable
 * loses more everywhere and most at the top: tilt moves with it.
 *
 * @param cable a known type or a model of one's own (`fitCableLoss`)
 * @param temperatureC of the cable, 20 °C by default
 * @throws RangeError when frequency or length is negative
 *
 * @example cableLossDb('series6', 750, 30.48) // 5.68 dB for 100 ft
 */
export function cableLossDb(
  cable: CoaxType | CableModel,
  freqMhz: number,
  lengthM: number,
  temperatureC: number = 20,
): number {
  if (!(freqMhz >= 0)) throw new RangeError(`freqMhz is ${freqMhz}; give 0 or more`);
  if (!(lengthM >= 0)) throw new RangeError(`lengthM is ${lengthM}; give 0 or more`);

  const { a, b } = typeof cable === 'string' ? COAX_MODELS[cable] : cable;
  const per100M = a * Math.sqrt(freqMhz) + b * freqMhz;
  return (per100M * lengthM * cableTemperatureFactor(temperatureC)) / 100;
}
