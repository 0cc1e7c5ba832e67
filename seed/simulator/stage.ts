import { cableLossDb } from '../../ingest/signal/cableLossDb.ts';
import { cableTemperatureFactor } from '../../ingest/signal/cableTemperatureFactor.ts';
import type { Carriers } from './carriers.ts';
import type { HopElement } from './plant.ts';
import type { Surroundings } from './weather.ts';

const BAND_LOW_MHZ = 54;
const BAND_HIGH_MHZ = 1002;
const ALIGNED_AT_C = 20;

/** Part of a hop, made ready for one line-up: `apply` changes levels and noise in place. */
export interface Stage {
  apply(levelDbmv: Float64Array, noise: Float64Array, temperatureC: (place: Surroundings) => number): void;
}

/** Levels on an ordinary day at 20 °C, as alignment sees them: each carrier's, and both ends of the band. */
export interface Nominal {
  readonly levelDbmv: Float64Array;
  readonly lowEndDbmv: number;
  readonly highEndDbmv: number;
}

/** Makes one element ready and says what comes out of it on an ordinary day. */
export function prepareStage(
  element: HopElement,
  carriers: Carriers,
  input: Nominal,
): { stage: Stage; output: Nominal } {
  switch (element.kind) {
    case 'cable':
      return prepareCable(element, carriers, input);
    case 'passive':
      return preparePassive(element, input);
    case 'amplifier': {
      const gainDb = alignedGain(element, carriers, input);
      const stage = { apply: amplify(gainDb, element.noiseFigureDb, carriers) };
      return { stage, output: amplified(element, gainDb, input) };
    }
    case 'self-correcting': {
      const gainDb = alignedGain(element, carriers, input);
      const raise = amplify(gainDb, element.noiseFigureDb, carriers);
      const correct = correction(carriers, input.levelDbmv, element.windowDb);
      const stage: Stage = {
        apply(levelDbmv, noise, temperatureC) {
          const correctionDb = correct(levelDbmv);
          raise(levelDbmv, noise, temperatureC);
          addColumn(levelDbmv, correctionDb);
        },
      };
      return { stage, output: amplified(element, gainDb, input) };
    }
  }
}

function prepareCable(
  element: HopElement & { kind: 'cable' },
  carriers: Carriers,
  input: Nominal,
): { stage: Stage; output: Nominal } {
  const nominalLossDb = (freqMhz: number) => cableLossDb(element.type, freqMhz, element.metres, ALIGNED_AT_C);
  const lossDb = Float64Array.from(carriers.freqMhz, nominalLossDb);

  return {
    stage: {
      apply(levelDbmv, _noise, temperatureC) {
        const factor = cableTemperatureFactor(temperatureC(element.surroundings));
        for (let index = 0; index < levelDbmv.length; index += 1) {
          levelDbmv[index]! -= factor * lossDb[index]!;
        }
      },
    },
    output: {
      levelDbmv: input.levelDbmv.map((level, index) => level - lossDb[index]!),
      lowEndDbmv: input.lowEndDbmv - nominalLossDb(BAND_LOW_MHZ),
      highEndDbmv: input.highEndDbmv - nominalLossDb(BAND_HIGH_MHZ),
    },
  };
}

function preparePassive(
  element: HopElement & { kind: 'passive' },
  input: Nominal,
): { stage: Stage; output: Nominal } {
  const { lossDb } = element;
  return {
    stage: {
      apply(levelDbmv) {
        for (let index = 0; index < levelDbmv.length; index += 1) levelDbmv[index]! -= lossDb;
      },
    },
    output: {
      levelDbmv: input.levelDbmv.map((level) => level - lossDb),
      lowEndDbmv: input.lowEndDbmv - lossDb,
      highEndDbmv: input.highEndDbmv - lossDb,
    },
  };
}

type Gear = HopElement & { kind: 'amplifier' | 'self-correcting' };

/** Gain by frequency that turns the ordinary input line into the output line wanted, with a cable-shaped slope. */
function alignedGain(gear: Gear, carriers: Carriers, input: Nominal): Float64Array {
  const lowDb = gear.outputDbmv - gear.outputTiltDb / 2 - input.lowEndDbmv;
  const highDb = gear.outputDbmv + gear.outputTiltDb / 2 - input.highEndDbmv;
  return Float64Array.from(carriers.freqMhz, (freqMhz) => lowDb + (highDb - lowDb) * cableShape(freqMhz));
}

function amplified(gear: Gear, gainDb: Float64Array, input: Nominal): Nominal {
  return {
    levelDbmv: input.levelDbmv.map((level, index) => level + gainDb[index]!),
    lowEndDbmv: gear.outputDbmv - gear.outputTiltDb / 2,
    highEndDbmv: gear.outputDbmv + gear.outputTiltDb / 2,
  };
}

/** Carrier to noise of an amplifier is its input less the thermal floor and the noise figure. */
function amplify(gainDb: Float64Array, noiseFigureDb: number, carriers: Carriers): Stage['apply'] {
  return (levelDbmv, noise) => {
    for (let index = 0; index < levelDbmv.length; index += 1) {
      noise[index]! += 10 ** ((carriers.floorDbmv[index]! + noiseFigureDb - levelDbmv[index]!) / 10);
      levelDbmv[index]! += gainDb[index]!;
    }
  };
}

/**
 * Undoes a change of the input from its ordinary line, level and cable-shaped slope each by least squares, as far as the window
 * allows; gives the correction for each carrier.
 */
function correction(
  carriers: Carriers,
  nominalDbmv: Float64Array,
  windowDb: number,
): (levelDbmv: Float64Array) => Float64Array {
  const shape = Float64Array.from(carriers.freqMhz, cableShape);
  const middle = mean(shape);
  let shapeSquares = 0;
  for (const value of shape) shapeSquares += (value - middle) ** 2;
  const clip = (valueDb: number) => Math.max(-windowDb, Math.min(windowDb, valueDb));

  return (levelDbmv) => {
    const changeDb = levelDbmv.map((level, index) => level - nominalDbmv[index]!);
    const levelChangeDb = mean(changeDb);
    let product = 0;
    for (let index = 0; index < shape.length; index += 1) {
      product += (shape[index]! - middle) * (changeDb[index]! - levelChangeDb);
    }
    const level = clip(levelChangeDb);
    const slope = clip(product / shapeSquares);
    return shape.map((value) => -level - slope * (value - middle));
  };
}

/** How far along the band's cable loss a frequency lies: 0 at the low end, 1 at the high end, by √f. */
function cableShape(freqMhz: number): number {
  const low = Math.sqrt(BAND_LOW_MHZ);
  return (Math.sqrt(freqMhz) - low) / (Math.sqrt(BAND_HIGH_MHZ) - low);
}

function addColumn(target: Float64Array, change: Float64Array): void {
  for (let index = 0; index < target.length; index += 1) target[index]! += change[index]!;
}

function mean(values: Float64Array): number {
  let sum = 0;
  for (const value of values) sum += value;
  return sum / values.length;
}
