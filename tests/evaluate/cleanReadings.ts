import type { MeterNoise, SimulatedSite } from '../../seed/simulator/plant.ts';
import { createSimulator } from '../../seed/simulator/simulator.ts';

/** What a perfect meter reads at a point, parallel to the line-up; NaN where the carrier is lost. */
export interface CleanReading {
  readonly levelDbmv: Float64Array;
  readonly merDb: Float64Array;
}

/** Reads the simulated plant without the meter's noise, rounding or bias: the truth that conclusions are held against. */
export function cleanReadings(site: SimulatedSite): (point: string, atMs: number) => CleanReading {
  const simulator = createSimulator({
    ...site,
    meter: withoutNoise(site.meter),
    instruments: [{ instrument: 'perfect', fromMs: 0, levelBiasDb: 0, tiltBiasDb: 0, merBiasDb: 0 }],
  });
  return (point, atMs) => {
    const sweep = simulator.sweep(point, atMs)!;
    return {
      levelDbmv: Float64Array.from(sweep.levelDbmv, (value) => value ?? Number.NaN),
      merDb: Float64Array.from(sweep.merDb!, (value) => value ?? Number.NaN),
    };
  };
}

function withoutNoise(meter: MeterNoise): MeterNoise {
  const still = { sd: 0, stepMs: 1, correlation: 0 };
  return {
    ...meter,
    levelSdDb: 0,
    merSdDb: 0,
    sharedLevel: still,
    sharedTilt: still,
    sharedMer: still,
    resolutionDb: 1e-6,
    missingSweeps: 0,
    wildSweeps: 0,
    missingReadings: 0,
  };
}
