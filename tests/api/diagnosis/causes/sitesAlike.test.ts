import { expect, test } from 'vitest';
import {
  type ElsewhereFinding,
  SAME_EVENT_MS,
  sitesAlike,
} from '../../../../api/diagnosis/causes/sitesAlike.ts';
import { givenFinding } from './givenCase.ts';

const here = givenFinding({ sizeDb: -4 });
const there = (siteId: number, changes: Partial<ElsewhereFinding> = {}): ElsewhereFinding => ({
  siteId,
  kind: 'step',
  metric: 'level',
  onsetMs: here.onsetMs,
  sizeDb: -3.8,
  ...changes,
});

test('counts each site once that changed in the same way', () => {
  expect(sitesAlike(here, [there(2), there(2), there(3)])).toBe(2);
  expect(sitesAlike(here, [])).toBe(0);
});

test('leaves out another kind, another metric, the other direction', () => {
  const others = [there(2, { kind: 'drift' }), there(3, { metric: 'mer' }), there(4, { sizeDb: 4 })];
  expect(sitesAlike(here, others)).toBe(0);
});

test('counts what came within hours of the onset, beyond its own doubt, and nothing else', () => {
  const earliest = here.onsetLowMs - SAME_EVENT_MS;
  const latest = here.onsetHighMs + SAME_EVENT_MS;
  expect(sitesAlike(here, [there(2, { onsetMs: earliest }), there(3, { onsetMs: latest })])).toBe(2);
  expect(sitesAlike(here, [there(2, { onsetMs: earliest - 1 }), there(3, { onsetMs: latest + 1 })])).toBe(0);
});
