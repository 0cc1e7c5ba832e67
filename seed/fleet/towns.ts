import { ORDINARY_CLIMATE } from '../simulator/defaults.ts';
import type { Climate } from '../simulator/weather.ts';

/** An invented town and its invented weather. */
export interface Town {
  readonly name: string;
  readonly timeZone: string;
  readonly latitude: number;
  readonly longitude: number;
  readonly climate: Climate;
}

export const TOWNS = {
  alderquay: town('Alderquay', 'America/New_York', 41.2, -72.1, {
    meanC: 11,
    yearSwingC: 12,
    daySwingC: 4,
    utcOffsetHours: -5,
  }),
  brackenmoor: town('Brackenmoor', 'America/Chicago', 43.6, -90.4, {
    meanC: 8,
    yearSwingC: 15,
    daySwingC: 5,
    utcOffsetHours: -6,
  }),
  cinderhollow: town('Cinderhollow', 'America/Phoenix', 33.1, -111.3, {
    meanC: 22,
    yearSwingC: 11,
    daySwingC: 8,
    utcOffsetHours: -7,
  }),
  dunmarrow: town('Dunmarrow', 'America/Denver', 39.9, -105.6, {
    meanC: 9,
    yearSwingC: 12,
    daySwingC: 8,
    utcOffsetHours: -7,
  }),
  eldersfen: town('Eldersfen', 'America/New_York', 33.4, -80.2, {
    meanC: 18,
    yearSwingC: 9,
    daySwingC: 5,
    utcOffsetHours: -5,
  }),
  greywether: town('Greywether', 'America/Los_Angeles', 47.9, -122.9, {
    meanC: 11,
    yearSwingC: 7,
    daySwingC: 4,
    utcOffsetHours: -8,
  }),
} as const;

type Shape = Pick<Climate, 'meanC' | 'yearSwingC' | 'daySwingC' | 'utcOffsetHours'>;

function town(name: string, timeZone: string, latitude: number, longitude: number, shape: Shape): Town {
  return { name, timeZone, latitude, longitude, climate: { ...ORDINARY_CLIMATE, ...shape, name } };
}
