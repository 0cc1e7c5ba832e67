import { expect, test } from 'vitest';
import { findingsSection } from '../../../api/reports/document/findingsSection.ts';
import { makeFleet } from '../../web/fixtures/fleet.ts';
import { makeReport } from '../../web/fixtures/report.ts';
import { makeSite } from '../../web/fixtures/site.ts';

const [aFinding] = makeSite(makeFleet(3)[1]!).findings;
const told = (findings: readonly object[]) =>
  findingsSection({ ...makeReport(), findings: findings as never }).flatMap((block) =>
    'text' in block ? [block.text] : [],
  );

test('an event is told once, where it begins, however many points show it', () => {
  const begins = { ...aFinding, event: 7, pointName: 'Handoff', explainedBy: null, withinFloor: false };
  const follows = {
    ...begins,
    pointId: 99,
    pointName: 'floor 3',
    explainedBy: begins.pointId,
    sentence: 'Follows.',
  };
  const lines = told([follows, begins]);
  expect(begins.sentence).toMatch(/dB/);
  expect(lines.filter((line) => line.startsWith('F1. '))).toEqual([`F1. ${begins.sentence}`]);
  expect(lines.some((line) => line.startsWith('F2. '))).toBe(false);
});

test('what is too small to act on is counted and not listed', () => {
  const small = { ...aFinding, event: 8, explainedBy: null, withinFloor: true };
  expect(told([small])).toEqual([
    'Findings',
    'No change from the baseline that calls for action was found within the period.',
    'Beside these, 1 change too small to act on; the JSON file of this report holds them.',
  ]);
});
