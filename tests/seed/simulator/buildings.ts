import { cta542 } from '../../../ingest/plan/cta542.ts';
import { ORDINARY_CLIMATE, ORDINARY_FEED, ORDINARY_METER } from '../../../seed/simulator/defaults.ts';
import type { Fault, FaultPlace, FaultShape } from '../../../seed/simulator/fault.ts';
import type { HopElement, MeterNoise, SimulatedSite } from '../../../seed/simulator/plant.ts';

export const DAY_MS = 86_400_000;
export const ONSET_MS = Date.UTC(2026, 2, 1);

/** A meter without error, so that a signature can be read off two sweeps. */
export const PERFECT_METER: MeterNoise = {
  ...ORDINARY_METER,
  levelSdDb: 0,
  merSdDb: 0,
  sharedLevel: { ...ORDINARY_METER.sharedLevel, sd: 0 },
  sharedTilt: { ...ORDINARY_METER.sharedTilt, sd: 0 },
  sharedMer: { ...ORDINARY_METER.sharedMer, sd: 0 },
  resolutionDb: 0.001,
  missingSweeps: 0,
  wildSweeps: 0,
  missingReadings: 0,
};

/** Nothing moves here but what a fault moves. */
const STILL_CLIMATE = {
  ...ORDINARY_CLIMATE,
  meanC: 20,
  yearSwingC: 0,
  daySwingC: 0,
  weather: { ...ORDINARY_CLIMATE.weather, sd: 0 },
};
const STILL_FEED = { ...ORDINARY_FEED, wander: { ...ORDINARY_FEED.wander, sd: 0 } };

const CHANNELS = cta542('STD').map(({ channel, centreMhz, widthMhz }) => ({
  channel,
  centreMhz,
  widthMhz,
  modulation: 'qam256' as const,
  services: [],
}));

export function cable(metres: number): HopElement {
  return { kind: 'cable', type: 'series6', metres, surroundings: 'conditioned' };
}

/** Handoff, amplifier and outlet of a building in which nothing moves unless a field says so. */
export function stillBuilding(changes: Partial<SimulatedSite> = {}): SimulatedSite {
  return {
    seed: 1,
    name: 'still building',
    climate: STILL_CLIMATE,
    feed: STILL_FEED,
    lineUps: [{ effectiveFromMs: 0, channels: CHANNELS }],
    points: [
      { name: 'handoff', fedBy: null, hop: [], thermometer: 'conditioned' },
      {
        name: 'amplifier',
        fedBy: 'handoff',
        hop: [cable(20), { kind: 'amplifier', outputDbmv: 36, outputTiltDb: 8, noiseFigureDb: 8 }],
        thermometer: null,
      },
      {
        name: 'outlet',
        fedBy: 'amplifier',
        hop: [{ kind: 'passive', what: 'tap', lossDb: 19 }, cable(60)],
        thermometer: null,
      },
    ],
    instruments: [{ instrument: 'probe-1', fromMs: 0, levelBiasDb: 0, tiltBiasDb: 0, merBiasDb: 0 }],
    meter: PERFECT_METER,
    faults: [],
    ...changes,
  };
}

/** A fault that begins at {@link ONSET_MS} at the entry of the outlet's hop unless told otherwise. */
export function fault(
  shape: FaultShape,
  sizeDb: number,
  overDays = 0,
  place: FaultPlace = { hopTo: 'outlet', end: 'entry' },
): Fault {
  return { cause: 'splitter changed', shape, place, onsetMs: ONSET_MS, endMs: null, sizeDb, overDays };
}
