import { expect, test } from 'vitest';
import { bandColumns } from '../../../web/charts/bandColumns.ts';
import { bandDeviationOptions, bandLevelOptions } from '../../../web/charts/bandOptions.ts';
import type { HistoryMetric } from '../../../web/charts/historyColumns.ts';
import { historyOptions } from '../../../web/charts/historyOptions.ts';
import type { ChartTheme } from '../../../web/charts/theme.ts';
import { makeFleet } from '../fixtures/fleet.ts';
import { makeBand, makeHistory } from '../fixtures/point.ts';
import { makeSite } from '../fixtures/site.ts';

const theme = new Proxy({}, { get: () => '#000' }) as ChartTheme;
const site = makeSite(makeFleet(42)[0]!);
const band = makeBand(site, 4);
const columns = bandColumns(band.channels);

test('the band charts share one cursor and one frequency axis, with units on every axis', () => {
  const level = bandLevelOptions(band, columns, theme, () => {});
  const deviation = bandDeviationOptions(columns, theme);
  expect(level.cursor?.sync?.key).toBe(deviation.cursor?.sync?.key);
  expect(level.scales?.['x']).toEqual(deviation.scales?.['x']);
  expect([level.axes?.[1]?.label, deviation.axes?.[1]?.label]).toEqual(['Level, dBmV', 'Change, dB']);
  expect(deviation.axes?.[0]?.label).toBe('Frequency, MHz');
});

test.each([
  ['level', 'Level, dBmV'],
  ['tilt', 'Tilt, dB'],
  ['mer', 'MER margin, dB'],
  ['ambient', 'Air, °C'],
] as const)(
  'the chart of %s over time says %s, and the zone on its time axis',
  (metric: HistoryMetric, label) => {
    const options = historyOptions({
      history: makeHistory(site, 4, new URLSearchParams()),
      metric,
      timeZone: 'America/Chicago',
      zoneWord: 'CST',
      first: false,
      last: true,
      span: [0, 1],
      findings: [],
      events: [],
      theme,
      onIndex: () => {},
    });
    expect(options.axes?.[1]?.label).toBe(label);
    expect(options.axes?.[0]?.label).toBe('Time, CST');
    expect(options.scales?.['x']?.range).toEqual([0, 1]);
  },
);
