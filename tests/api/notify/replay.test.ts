import { describe, expect, test } from 'vitest';
import type { Hours } from '../../../api/notify/quietHours.ts';
import { replay } from '../../../api/notify/replay.ts';
import { aRule, aStory, HOUR_MS, MINUTE_MS, NOON_MS, ROSA } from './givenStory.ts';

const ALWAYS: Hours = { timeZone: 'America/Chicago', quiet: null, workDays: [1, 2, 3, 4, 5, 6, 7] };
/** Quiet from 11 in the morning until 14. */
const LUNCH: Hours = { ...ALWAYS, quiet: { fromMin: 660, toMin: 840 } };
const toRosa = aRule({ steps: [{ afterMin: 0, targetIds: [ROSA] }] });

function sent(stories: Parameters<typeof replay>[1], hours: Hours | null = ALWAYS, rule = toRosa) {
  const messages = replay(rule, stories, () => hours, NOON_MS - HOUR_MS, NOON_MS + 24 * HOUR_MS);
  return messages.map(({ sendMs, items }) => {
    const told = items.map(({ alertId, what }) => `${alertId} ${what}`).join(', ');
    return `${(sendMs - NOON_MS) / MINUTE_MS}: ${told}`;
  });
}

describe('what a rule would have sent', () => {
  test('is one message for a flood within a minute', () => {
    const flood = Array.from({ length: 40 }, (_, i) => aStory([[i / 60, 'raised']], { alertId: i + 1 }));
    const messages = replay(toRosa, flood, () => ALWAYS, NOON_MS, NOON_MS + HOUR_MS);
    expect(messages.map(({ items }) => items.length)).toEqual([40]);
  });

  test('leaves out what cleared before the message went, its return as well', () => {
    expect(
      sent([
        aStory([
          [0, 'raised'],
          [0.5, 'returned'],
        ]),
      ]),
    ).toEqual([]);
  });

  test('goes to a webhook at once', () => {
    expect(sent([aStory([[0, 'raised']])], null)).toEqual(['0: 1 open']);
  });

  test('waits for the end of quiet hours, and then tells what is open and what came and went', () => {
    const stories = [
      aStory([[0, 'raised']], { alertId: 1 }),
      aStory(
        [
          [5, 'raised'],
          [20, 'returned'],
        ],
        { alertId: 2 },
      ),
      aStory(
        [
          [6, 'raised'],
          [30, 'acknowledged'],
        ],
        { alertId: 3 },
      ),
    ];
    expect(sent(stories, LUNCH)).toEqual(['120: 1 open, 2 open, 3 open']);
    const urgent = { ...toRosa, throughQuiet: true };
    expect(sent(stories, LUNCH, urgent)).toEqual(['1: 1 open', '6: 2 open, 3 open', '21: 2 returned']);
  });

  test('judges time left by what is left now', () => {
    const rule = { ...toRosa, about: { ...toRosa.about, daysLeftUnder: 7 } };
    expect(sent([aStory([[0, 'raised']], { daysLeft: 6 })], ALWAYS, rule)).toEqual(['1: 1 open']);
    expect(sent([aStory([[0, 'raised']], { daysLeft: 8 })], ALWAYS, rule)).toEqual([]);
    expect(sent([aStory([[0, 'raised']], { daysLeft: null })], ALWAYS, rule)).toEqual([]);
  });
});
