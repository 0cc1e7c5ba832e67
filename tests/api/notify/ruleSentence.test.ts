import { expect, test } from 'vitest';
import { type RuleNames, ruleSentence } from '../../../api/notify/ruleSentence.ts';
import { aRule, ROSA, SAM } from './givenStory.ts';

const names: RuleNames = {
  site: (id) => (id === 7 ? 'Harbour House' : null),
  provider: (id) => (id === 3 ? 'Marren Valley Feed' : null),
  target: (id) => ({ [ROSA]: 'Rosa Field (e-mail)', [SAM]: 'Sam Reed (e-mail)' })[id] ?? null,
};

test('a rule reads as plain sentences', () => {
  expect(ruleSentence(aRule(), names)).toBe(
    'Tell Rosa Field (e-mail) about all alerts at any site, as soon as they are raised. If nobody has acknowledged 30 min ' +
      'later, tell Sam Reed (e-mail). Also tell when it gets worse and when it has returned to normal. In somebody’s quiet ' +
      'hours it waits for their morning.',
  );
});

test('a narrow rule names its places, side and time left', () => {
  const rule = aRule({
    about: {
      siteIds: [7, 8],
      providerIds: [3],
      kind: 'site',
      severityAtLeast: 'major',
      side: 'building',
      daysLeftUnder: 14,
    },
    delayMin: 120,
    steps: [{ afterMin: 0, targetIds: [ROSA, SAM] }],
    tellsWorse: false,
    tellsReturn: false,
    throughQuiet: true,
  });
  expect(ruleSentence(rule, names)).toBe(
    'Tell Rosa Field (e-mail) and Sam Reed (e-mail) about critical and major alerts of a single site at Harbour House or a ' +
      'site that is gone on the feed of Marren Valley Feed on the building’s side with less than 14 days left, once open ' +
      'for 2 hours. Quiet hours do not hold it back.',
  );
});
