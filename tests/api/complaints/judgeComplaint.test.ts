import { describe, expect, test } from 'vitest';
import {
  type ComplaintFacts,
  type HoursBefore,
  judgeComplaint,
  type KnownTrouble,
} from '../../../api/complaints/judgeComplaint.ts';

const HOUR = 3_600_000;
const SEEN = Date.parse('2026-03-09T18:00:00Z');
/** Handoff 1 feeds amplifier 2, which feeds outlets 3 and 4. */
const AT_THREE: ComplaintFacts = { seenMs: SEEN, path: new Set([3, 2, 1]), rfChannel: '20' };

function trouble(changes: Partial<KnownTrouble> = {}): KnownTrouble {
  return {
    source: 'alert',
    toldMs: SEEN - 50 * HOUR,
    onsetMs: SEEN - 90 * HOUR,
    overMs: null,
    small: false,
    places: [{ pointId: 2, channels: null }],
    title: 'Level drift',
    alertId: 7,
    ...changes,
  };
}

function hour(pointId: number, levelDevDb: number | null, tiltDevDb: number | null = 0): HoursBefore {
  return { pointId, levelDevDb, tiltDevDb };
}

const verdictOf = (changes: Partial<KnownTrouble>, complaint = AT_THREE, hours = [hour(3, 0.1)]) =>
  judgeComplaint(complaint, [trouble(changes)], hours).verdict;

describe('a complaint is warned before', () => {
  test('when an alert upstream stood, by the time from its telling', () => {
    expect(judgeComplaint(AT_THREE, [trouble()], [])).toMatchObject({ verdict: 'warned', leadMs: 50 * HOUR });
  });

  test('by the alert even where a finding was told before it', () => {
    const finding = trouble({ source: 'finding', toldMs: SEEN - 60 * HOUR, alertId: null });
    expect(judgeComplaint(AT_THREE, [finding, trouble()], [])).toMatchObject({
      leadMs: 50 * HOUR,
      by: { alertId: 7 },
    });
  });

  test('by a finding where no alert was raised', () => {
    expect(verdictOf({ source: 'finding', alertId: null })).toBe('warned');
  });

  test('when what was told ended within the day before, and not when it was over for longer', () => {
    expect(verdictOf({ overMs: SEEN - 5 * HOUR })).toBe('warned');
    expect(verdictOf({ overMs: SEEN - 30 * HOUR })).toBe('not-seen');
  });

  test('by anything at the site when nobody knows the point', () => {
    const anywhere = { ...AT_THREE, path: null };
    expect(verdictOf({ places: [{ pointId: 4, channels: null }] }, anywhere)).toBe('warned');
  });

  test('by a provider event wherever it was', () => {
    expect(verdictOf({ places: null })).toBe('warned');
  });
});

describe('a complaint is not warned before', () => {
  test('by an alert at another outlet', () => {
    expect(verdictOf({ places: [{ pointId: 4, channels: null }] })).toBe('not-seen');
  });

  test('by an alert about other channels', () => {
    const places = (channels: string[]) => ({ places: [{ pointId: 2, channels }] });
    expect(verdictOf(places(['21', '22']))).toBe('not-seen');
    expect(verdictOf(places(['19', '20']))).toBe('warned');
    expect(verdictOf(places(['21']), { ...AT_THREE, rfChannel: null })).toBe('warned');
  });

  test('by what began after it', () => {
    expect(verdictOf({ onsetMs: SEEN + HOUR, toldMs: SEEN + 2 * HOUR })).toBe('not-seen');
  });
});

describe('a complaint was seen but below notice', () => {
  test('when what was told later had begun before', () => {
    expect(judgeComplaint(AT_THREE, [trouble({ toldMs: SEEN + 20 * HOUR })], [hour(3, 0.2)])).toMatchObject({
      verdict: 'below-notice',
      by: { alertId: 7 },
      deviationDb: 0.2,
    });
  });

  test('when the finding was too small to tell anybody', () => {
    expect(verdictOf({ source: 'finding', small: true })).toBe('below-notice');
  });

  test('when its path had moved by a decibel, and not when another outlet had', () => {
    expect(judgeComplaint(AT_THREE, [], [hour(2, 0.3, -1.4)])).toEqual({
      verdict: 'below-notice',
      by: null,
      deviationDb: -1.4,
    });
    expect(judgeComplaint(AT_THREE, [], [hour(3, 0.3), hour(4, -6)]).verdict).toBe('not-seen');
  });
});

test('a complaint that was not seen says whether anything was read there', () => {
  expect(judgeComplaint(AT_THREE, [], [hour(3, 0.2)])).toEqual({ verdict: 'not-seen', read: true });
  expect(judgeComplaint(AT_THREE, [], [hour(4, 0.2)])).toEqual({ verdict: 'not-seen', read: false });
});
