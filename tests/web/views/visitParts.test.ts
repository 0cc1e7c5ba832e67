import { describe, expect, test } from 'vitest';
import type { SheetStop } from '../../../api/schemas/visits.ts';
import { bringAlong } from '../../../web/views/visits/bringAlong.ts';
import { blankDraft, resultOf } from '../../../web/views/visits/resultDraft.ts';
import { parseCoordinates } from '../../../web/views/visits/startPlace.ts';
import { formatMinutes, standingSentence } from '../../../web/views/visits/visitWords.ts';
import { makeFleet } from '../fixtures/fleet.ts';
import { makeSite } from '../fixtures/site.ts';
import { makeDay, result } from '../fixtures/visits.ts';

const stops = makeDay(makeSite(makeFleet(42).find(({ siteId }) => siteId === 2)!)).stops;
const stop: SheetStop = stops[0]!;

test('minutes are told in hours from sixty on', () => {
  expect([5.4, 60, 104.6].map(formatMinutes)).toEqual(['5 min', '1 h', '1 h 45 min']);
});

describe('coordinates', () => {
  test('are degrees north and east with a comma between, either sign of minus', () => {
    expect(parseCoordinates('41.20, -72.10')).toEqual({ latitude: 41.2, longitude: -72.1 });
    expect(parseCoordinates(' −33.5 ; 151 ')).toEqual({ latitude: -33.5, longitude: 151 });
  });

  test('may be missing, and are refused when they are no place', () => {
    expect(parseCoordinates('  ')).toBeNull();
    for (const text of ['41.2', 'the depot', '95, 10', '10, 190'])
      expect(parseCoordinates(text)).toBeUndefined();
  });
});

test('what to bring names each thing once, with the sites that want it', () => {
  const items = bringAlong(stops);
  expect(new Set(items.map(({ item }) => item)).size).toBe(items.length);
  expect(items[0]!.sites).toEqual([stop.name, 'Elmstead Gardens']);
  expect(bringAlong([{ ...stop, tasks: [] }])).toEqual([]);
});

test('a draft begins at the first task and at the planned hour, or now where that is ahead', () => {
  const arriveMs = Date.parse(stop.arriveAt);
  expect(blankDraft(stop, arriveMs + 3_600_000)).toMatchObject({ alertId: '2', pointId: '4', outcome: null });
  expect(blankDraft(stop, arriveMs - 3_600_000).began < blankDraft(stop, arriveMs).began).toBe(true);
});

test('readings that nobody typed are none, and not zero', () => {
  const draft = { ...blankDraft(stop, 0), levelBeforeDbmv: '-3.5', levelAfterDbmv: '0', alertId: '' };
  expect(resultOf(draft, 'repaired')).toMatchObject({
    alertId: null,
    pointId: 4,
    levelBeforeDbmv: -3.5,
    levelAfterDbmv: 0,
    merBeforeDb: null,
  });
});

test('a repair is told as reported until sweeps confirm it', () => {
  const standing = (state: typeof result.standing.state, hoursRead = 0) =>
    standingSentence({
      ...result,
      standing: { ...result.standing, state, hoursRead, at: '2026-03-09T14:00:00Z' },
    });
  expect(standing('waiting')).toBe('Repair reported, waiting for sweeps to confirm. None has come in since.');
  expect(standing('waiting', 2)).toContain('2 hours of them so far');
  expect(standing('confirmed')).toBe('Confirmed by sweeps, 9 Mar 2026, 09:00 CDT.');
  expect(standing('not-asked')).toBe('');
});
