import { type CorrelatedNoise, smoothNoise } from './noise.ts';
import { seedFrom } from './random.ts';

const DAY_MS = 86_400_000;
const YEAR_DAYS = 365.2425;
/** Warmest about 20 July and at three in the afternoon, northern hemisphere. */
const WARMEST_YEAR_DAY = 201;
const WARMEST_HOUR = 15;

/** An invented climate. Swings are from mean to peak, °C; `utcOffsetHours` places the afternoon. */
export interface Climate {
  readonly name: string;
  readonly meanC: number;
  readonly yearSwingC: number;
  readonly daySwingC: number;
  readonly utcOffsetHours: number;
  readonly weather: CorrelatedNoise;
}

/** Where a length of cable lies. */
export type Surroundings = 'conditioned' | 'hot ceiling' | 'outdoor';

/** Outdoor air, °C: the year's rhythm, the day's rhythm and weather that lasts for days. */
export function outdoorTemperatureC(climate: Climate, atMs: number): number {
  const localDays = atMs / DAY_MS + climate.utcOffsetHours / 24;
  const year = Math.cos((2 * Math.PI * (localDays - WARMEST_YEAR_DAY)) / YEAR_DAYS);
  return (
    climate.meanC +
    climate.yearSwingC * year +
    climate.daySwingC * dayRhythm(climate, atMs) +
    smoothNoise(seedFrom('weather', climate.name), atMs, climate.weather)
  );
}

/**
 * Air beside the cable, °C. A conditioned room follows the weather a little; the space under a roof gathers the
 * afternoon's sun on top of the air outside and never falls far below the rooms beneath it.
 */
export function temperatureAtC(
  surroundings: Surroundings,
  climate: Climate,
  outdoorC: number,
  atMs: number,
): number {
  if (surroundings === 'outdoor') return outdoorC;
  if (surroundings === 'conditioned') return 21.5 + 0.08 * (outdoorC - 15);
  const sun = Math.max(0, dayRhythm(climate, atMs));
  return 21 + 0.55 * (outdoorC - 12) + 16 * sun;
}

function dayRhythm(climate: Climate, atMs: number): number {
  const hour = (atMs / 3_600_000 + climate.utcOffsetHours) % 24;
  return Math.cos((2 * Math.PI * (hour - WARMEST_HOUR)) / 24);
}
