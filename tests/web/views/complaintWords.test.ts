import { expect, test } from 'vitest';
import type { JudgementView } from '../../../api/schemas/complaints.ts';
import { formatLead, judgementSentence } from '../../../web/views/complaints/judgementWords.ts';

const ALERT = {
  source: 'alert',
  title: 'Level falls',
  alertId: 4,
  toldAt: '2026-03-03T08:10:00Z',
  onsetAt: '2026-03-01T08:10:00Z',
} as const;

const told = (judgement: Partial<JudgementView>) =>
  judgementSentence(
    { verdict: 'not-seen', by: null, leadHours: null, deviationDb: null, read: true, ...judgement },
    'America/Chicago',
  );

test('a lead is told in hours up to two days, then in days', () => {
  expect([0.4, 1, 47.4, 48, 148].map(formatLead)).toEqual([
    'under an hour',
    '1 hour',
    '47 hours',
    '2 days',
    '6 days',
  ]);
});

test('a judgement says what was known, when and by what', () => {
  expect(told({ verdict: 'warned', by: ALERT, leadHours: 148 })).toBe(
    '6 days before, by the alert “Level falls”, told 3 Mar 2026, 02:10 CST.',
  );
  expect(told({ verdict: 'below-notice', by: ALERT })).toContain('came only 3 Mar 2026, 02:10 CST');
  expect(told({ verdict: 'below-notice', deviationDb: -1.4 })).toContain('−1.4 dB off the baseline');
  expect(told({})).toContain('within 1 dB of the baseline');
  expect(told({ read: false })).toContain('Nothing there was compared');
});
