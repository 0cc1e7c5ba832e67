import { TOWNS } from '../../seed/fleet/towns.ts';
import { ORDINARY_CLIMATE, ORDINARY_METER } from '../../seed/simulator/defaults.ts';
import type { MeterNoise } from '../../seed/simulator/plant.ts';
import type { Climate } from '../../seed/simulator/weather.ts';

const MINUTE_MS = 60_000;

/** Buildings of the simulated fleet. `weak-gear` has self-correcting gear with a low input and no point there. */
export type EvaluatedLayout = 'passive' | 'amplified' | 'risers' | 'campus' | 'gear' | 'weak-gear' | 'tower';

/** Under what circumstances a fleet is swept. */
export interface Setting {
  readonly name: string;
  readonly intervalMs: number;
  readonly channels: number;
  /** Taken in turn. */
  readonly layouts: readonly EvaluatedLayout[];
  readonly climates: readonly Climate[];
  readonly meter: MeterNoise;
}

const STANDARD: Setting = {
  name: 'standard',
  intervalMs: 15 * MINUTE_MS,
  channels: 80,
  layouts: ['risers', 'campus', 'risers', 'gear'],
  climates: [ORDINARY_CLIMATE],
  meter: ORDINARY_METER,
};

/** The fleet that the goals are stated for, and departures from it. */
export const SETTINGS = {
  standard: STANDARD,
  hourly: { ...STANDARD, name: 'hourly', intervalMs: 60 * MINUTE_MS },
  'few-channels': { ...STANDARD, name: 'few-channels', channels: 40 },
  'many-channels': { ...STANDARD, name: 'many-channels', channels: 135 },
  small: { ...STANDARD, name: 'small', layouts: ['passive', 'amplified'] },
  tower: { ...STANDARD, name: 'tower', layouts: ['tower'] },
  climates: { ...STANDARD, name: 'climates', climates: Object.values(TOWNS).map(({ climate }) => climate) },
  noisy: { ...STANDARD, name: 'noisy', meter: louder(ORDINARY_METER, 1.6) },
  quiet: { ...STANDARD, name: 'quiet', meter: louder(ORDINARY_METER, 0.6) },
} as const satisfies Record<string, Setting>;

export type SettingName = keyof typeof SETTINGS;

function louder(meter: MeterNoise, times: number): MeterNoise {
  return {
    ...meter,
    levelSdDb: times * meter.levelSdDb,
    merSdDb: times * meter.merSdDb,
    sharedLevel: { ...meter.sharedLevel, sd: times * meter.sharedLevel.sd },
    sharedTilt: { ...meter.sharedTilt, sd: times * meter.sharedTilt.sd },
    sharedMer: { ...meter.sharedMer, sd: times * meter.sharedMer.sd },
  };
}
