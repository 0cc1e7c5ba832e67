import { describe, expect, test } from 'vitest';
import { ORDINARY_CLIMATE } from '../../../seed/simulator/defaults.ts';
import { outdoorTemperatureC, temperatureAtC } from '../../../seed/simulator/weather.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
const NEW_YEAR_MS = Date.UTC(2026, 0, 1);

/** Mean over the days from `fromDay` on, at one local hour where it is given. */
function meanC(fromDay: number, days: number, localHour?: number): number {
  const hours = localHour === undefined ? Array.from({ length: 24 }, (_, hour) => hour) : [localHour];
  const temperatures = Array.from({ length: days }, (_, day) =>
    hours.map((hour) =>
      outdoorTemperatureC(
        ORDINARY_CLIMATE,
        NEW_YEAR_MS + (fromDay + day) * DAY_MS + (hour - ORDINARY_CLIMATE.utcOffsetHours) * HOUR_MS,
      ),
    ),
  ).flat();
  return temperatures.reduce((sum, value) => sum + value, 0) / temperatures.length;
}

describe('outdoor temperature', () => {
  test('has the climate’s mean over a year', () => {
    expect(Math.abs(meanC(0, 365) - ORDINARY_CLIMATE.meanC)).toBeLessThan(1);
  });

  test('is warmer in July than in January by about twice the yearly swing', () => {
    expect(Math.abs(meanC(181, 31) - meanC(0, 31) - 22)).toBeLessThan(3);
  });

  test('is warmer at three in the afternoon than at three at night by twice the daily swing', () => {
    expect(Math.abs(meanC(0, 365, 15) - meanC(0, 365, 3) - 10)).toBeLessThan(0.7);
  });
});

describe('air beside the cable', () => {
  const afternoonMs = Date.UTC(2026, 6, 10, 15 - ORDINARY_CLIMATE.utcOffsetHours);
  const nightMs = afternoonMs + 12 * HOUR_MS;

  test('a conditioned room stays within a few degrees from frost to heat', () => {
    const frost = temperatureAtC('conditioned', ORDINARY_CLIMATE, -15, nightMs);
    const heat = temperatureAtC('conditioned', ORDINARY_CLIMATE, 35, afternoonMs);
    expect(heat - frost).toBeLessThan(5);
  });

  test('the space under a roof swings by more than 15 °C on a summer day', () => {
    const swing =
      temperatureAtC('hot ceiling', ORDINARY_CLIMATE, 28, afternoonMs) -
      temperatureAtC('hot ceiling', ORDINARY_CLIMATE, 18, nightMs);
    expect(swing).toBeGreaterThan(15);
  });
});
