import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { AlertStory } from '../../../api/notify/alertFact.ts';
import type { Rule } from '../../../api/notify/rule.ts';
import { tellingKey, tellingsOf } from '../../../api/notify/tellingsOf.ts';
import { aRule, aStory, context, type Line, MINUTE_MS, NOON_MS, ROSA } from './givenStory.ts';

/** "minute: whom, what" */
function told(rule: Rule, story: AlertStory, untilMin = 10_000, made = new Set<string>()): string[] {
  return tellingsOf(rule, story, context(untilMin, { made })).map(
    ({ dueMs, targetId, what }) =>
      `${(dueMs - NOON_MS) / MINUTE_MS}: ${targetId === ROSA ? 'Rosa' : 'Sam'}, ${what}`,
  );
}

describe('a rule', () => {
  test('tells the first at once, the next one after half an hour without an acknowledgement', () => {
    expect(told(aRule(), aStory([[0, 'raised']]))).toEqual(['0: Rosa, open', '30: Sam, open']);
  });

  test('stops going up once somebody acknowledges', () => {
    expect(
      told(
        aRule(),
        aStory([
          [0, 'raised'],
          [29, 'acknowledged'],
        ]),
      ),
    ).toEqual(['0: Rosa, open']);
  });

  test('goes up again when an alert that was acknowledged gets graver and asks for a look anew', () => {
    const story = aStory([
      [0, 'raised'],
      [5, 'acknowledged'],
      [60, 'severity', { severity: 'critical', state: 'active-unacknowledged' }],
    ]);
    expect(told(aRule(), story)).toEqual(['0: Rosa, open', '60: Rosa, worse', '90: Sam, open']);
  });

  test('says nothing of an alert that clears before the delay ends', () => {
    const rule = aRule({ delayMin: 10 });
    expect(
      told(
        rule,
        aStory([
          [0, 'raised'],
          [9, 'returned'],
        ]),
      ),
    ).toEqual([]);
    expect(
      told(
        rule,
        aStory([
          [0, 'raised'],
          [11, 'returned'],
        ]),
      ),
    ).toEqual(['10: Rosa, open', '11: Rosa, returned']);
  });

  test('tells again when the alert is back', () => {
    const story = aStory([
      [0, 'raised'],
      [5, 'returned'],
      [20, 'back'],
      [21, 'acknowledged'],
    ]);
    expect(told(aRule(), story)).toEqual(['0: Rosa, open', '5: Rosa, returned', '20: Rosa, open']);
  });

  test('says nothing while the alert is shelved, and starts its clock again once that ends', () => {
    const story = aStory([
      [0, 'raised'],
      [10, 'shelved'],
      [500, 'unshelved'],
    ]);
    expect(told(aRule(), story)).toEqual(['0: Rosa, open', '530: Sam, open']);
    const suppressed = [
      [0, 'suppressed'],
      [60, 'unsuppressed', { state: 'active-unacknowledged' }],
    ] as const;
    for (const story of [aStory(suppressed), aStory([[0, 'raised'], ...suppressed])])
      expect(told(aRule(), story)).toEqual(['60: Rosa, open', '90: Sam, open']);
  });

  test('tells anew of what came back while it was suppressed, once that ends', () => {
    const story = aStory([
      [0, 'raised'],
      [5, 'returned'],
      [20, 'joined', { state: 'suppressed' }],
      [60, 'unsuppressed', { state: 'active-unacknowledged' }],
    ]);
    expect(told(aRule(), story, 60)).toEqual(['0: Rosa, open', '5: Rosa, returned', '60: Rosa, open']);
  });

  test('begins when the severity reaches what it asks for, and tells of each rise after that', () => {
    const rule = aRule({ about: { ...aRule().about, severityAtLeast: 'major' } });
    const story = aStory([
      [0, 'raised', { severity: 'minor' }],
      [40, 'severity', { severity: 'major' }],
      [50, 'acknowledged'],
      [60, 'severity', { severity: 'critical' }],
      [70, 'severity', { severity: 'major' }],
      [80, 'severity', { severity: 'critical' }],
    ]);
    expect(told(rule, story)).toEqual(['40: Rosa, open', '60: Rosa, worse']);
  });

  test('tells of a return only those who were told of the alert', () => {
    const early = aStory([
      [0, 'raised'],
      [29, 'returned'],
    ]);
    expect(told(aRule(), early)).toEqual(['0: Rosa, open', '29: Rosa, returned']);
    const late = aStory([
      [0, 'raised'],
      [31, 'returned'],
    ]);
    expect(told(aRule(), late)).toEqual([
      '0: Rosa, open',
      '30: Sam, open',
      '31: Rosa, returned',
      '31: Sam, returned',
    ]);
    expect(told(aRule({ tellsReturn: false }), late)).toEqual(['0: Rosa, open', '30: Sam, open']);
  });

  test('is silent about alerts that began before it, yet goes on with those it had begun to tell', () => {
    const late = aRule({ sinceMs: NOON_MS + MINUTE_MS });
    const story = aStory([[0, 'raised']]);
    expect(told(late, story)).toEqual([]);
    const made = new Set([tellingKey({ ruleId: 1, changeId: 100, targetId: ROSA, step: 0 })]);
    expect(told(late, story, 10_000, made)).toEqual(['0: Rosa, open', '30: Sam, open']);
  });

  test.each([
    [{ siteIds: [7] }, true],
    [{ siteIds: [8] }, false],
    [{ providerIds: [3] }, true],
    [{ providerIds: [4] }, false],
    [{ siteIds: [7], providerIds: [4] }, false],
    [{ kind: 'provider-event' as const }, false],
    [{ side: 'building' as const }, true],
    [{ side: 'provider' as const }, false],
    [{ severityAtLeast: 'critical' as const }, false],
  ])('about %j, held against a major alert on the building’s side: %s', (about, tells) => {
    const rule = aRule({ about: { ...aRule().about, ...about } });
    expect(told(rule, aStory([[0, 'raised']])).length > 0).toBe(tells);
  });

  test('waits until fewer days are left than it asks for', () => {
    const rule = aRule({ about: { ...aRule().about, daysLeftUnder: 7 } });
    const story = aStory([[0, 'raised']]);
    expect(tellingsOf(rule, story, context(1000, { nearFromMs: null }))).toEqual([]);
    const [first] = tellingsOf(rule, story, context(1000, { nearFromMs: NOON_MS + 600 * MINUTE_MS }));
    expect(first?.dueMs).toBe(NOON_MS + 600 * MINUTE_MS);
  });

  test('has told the same in the end, however often it is asked on the way', () => {
    const kinds = ['raised', 'back', 'returned', 'acknowledged', 'shelved', 'unshelved', 'severity', 'note'];
    const severity = fc.constantFrom('minor' as const, 'major' as const, 'critical' as const);
    const history = fc.array(fc.tuple(fc.nat(20), fc.constantFrom(...kinds), severity), { maxLength: 12 });
    const looks = fc.array(fc.nat(300), { maxLength: 10 });
    fc.assert(
      fc.property(history, looks, (steps, minutes) => {
        const whole = aStory(linesOf(steps));
        const atOnce = tellingsOf(aRule(), whole, context(1000)).map(tellingKey);
        const made = new Set<string>();
        for (const untilMin of [...minutes, 1000].sort((a, b) => a - b)) {
          const changes = whole.changes.filter(({ atMs }) => atMs <= NOON_MS + untilMin * MINUTE_MS);
          const found = tellingsOf(aRule(), { ...whole, changes }, context(untilMin, { made }));
          for (const telling of found) made.add(tellingKey(telling));
        }
        expect([...made].sort()).toEqual(atOnce.sort());
      }),
      { numRuns: 300 },
    );
  });
});

/** Raised at noon, then each step so many minutes after the one before. */
function linesOf(steps: readonly [number, string, 'minor' | 'major' | 'critical'][]): Line[] {
  let minute = 0;
  const later = steps.map(([gap, kind, severity]): Line => {
    minute += gap;
    return [minute, kind, kind === 'severity' ? { severity } : {}];
  });
  return [[0, 'raised'], ...later];
}
