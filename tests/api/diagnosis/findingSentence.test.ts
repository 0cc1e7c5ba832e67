import { describe, expect, test } from 'vitest';
import { findingSentence, lastingClauses } from '../../../api/diagnosis/findingSentence.ts';
import { placeFindings } from '../../../api/diagnosis/placeFindings.ts';
import type { Finding } from '../../../api/trend/types.ts';
import { AMPLIFIER, DAY, FLOOR_3, givenFinding, givenTree, HANDOFF, NOON } from './givenFinding.ts';

const nowMs = NOON + 30 * DAY;
const telling = { timeZone: 'America/Chicago', nowMs, latestMs: nowMs, causeTitle: null };

function placed(finding: Finding, pointId = FLOOR_3) {
  return placeFindings(new Map([[pointId, [finding]]]), givenTree())[0]!;
}

describe('findingSentence', () => {
  test('tells a drift with pace, date, hop, size and time left', () => {
    expect(findingSentence(placed(givenFinding()), telling)).toBe(
      'Level falling 0.09 dB a day since 12 Oct between riser amplifier and floor 3; 2.7 dB below baseline (2.4 to 3.0); reaches its limit (level at least −12 dBmV) in about 19 days (14 to 27).',
    );
  });

  test('counts the days since the newest sweep off the time left', () => {
    expect(findingSentence(placed(givenFinding()), { ...telling, latestMs: nowMs - 5 * DAY })).toContain(
      'in about 14 days (9 to 22)',
    );
  });

  test('tells a step by its moment in the zone of the site', () => {
    const step = givenFinding({
      kind: 'step',
      daysToLimit: null,
      onsetMs: Date.parse('2026-10-12T03:30:00Z'),
    });
    expect(findingSentence(placed(step, HANDOFF), telling)).toBe(
      "Level fell 2.7 dB (2.4 to 3.0) on 11 Oct 22:30 at handoff, on the provider's side.",
    );
  });

  test('names lost channels and shortens a long list', () => {
    const lost = givenFinding({
      kind: 'channel-lost',
      metric: 'channels',
      daysToLimit: null,
      evidence: { channels: ['2', '3', '4', '5', '6'] },
    });
    expect(findingSentence(placed(lost, AMPLIFIER), telling)).toBe(
      'Channels 2, 3, 4 and 2 more lost since 12 Oct 07:00 between handoff and riser amplifier.',
    );
  });

  test('says of an ended finding when it ended, and no time left', () => {
    const sentence = findingSentence(placed(givenFinding({ closedMs: NOON + 10 * DAY })), telling);
    expect(sentence).toContain('; ended 22 Oct 07:00.');
    expect(sentence).not.toContain('reaches');
  });

  test('names the point that explains it', () => {
    const both = placeFindings(
      new Map([
        [AMPLIFIER, [givenFinding()]],
        [FLOOR_3, [givenFinding()]],
      ]),
      givenTree(),
    );
    expect(findingSentence(both[1]!, { ...telling, causeTitle: 'riser amplifier' })).toContain(
      'at floor 3, explained by the same change at riser amplifier',
    );
  });

  test('crosses zero with signs, so that an interval never reads as its opposite', () => {
    const unclear = givenFinding({ sizeDb: 0.2, sizeLowDb: -0.3, sizeHighDb: 0.7 });
    expect(findingSentence(placed(unclear), telling)).toContain('0.2 dB above baseline (−0.3 to 0.7)');
  });
});

describe('time left', () => {
  const left = (p10: number, p50: number, p90: number) =>
    findingSentence(placed(givenFinding({ daysToLimit: { p10, p50, p90 } })), telling);

  test('of less than a day is not "about" anything', () => {
    expect(left(0.2, 0.6, 1.4)).toContain(
      'reaches its limit (level at least −12 dBmV) in less than a day (0 to 1).',
    );
  });

  test('that may never end has no upper bound', () => {
    expect(left(14, 19, 3650)).toContain('in about 19 days (14 or more).');
  });

  test('that has run out says so', () => {
    expect(left(0, 0, 0)).toContain('; past its limit (level at least −12 dBmV).');
  });
});

describe('lastingClauses', () => {
  test('names dates instead of days left, with the year once it turns', () => {
    const late = {
      ...telling,
      nowMs: Date.parse('2026-12-20T12:00:00Z'),
      latestMs: Date.parse('2026-12-20T12:00:00Z'),
    };
    expect(lastingClauses(placed(givenFinding()), late).at(-1)).toBe(
      'reaches its limit (level at least −12 dBmV) about 8 Jan 2027 (3 Jan 2027 to 16 Jan 2027)',
    );
  });
});
