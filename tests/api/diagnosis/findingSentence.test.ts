import { describe, expect, test } from 'vitest';
import { findingSentence, lastingClauses } from '../../../api/diagnosis/findingSentence.ts';
import type { Finding } from '../../../api/trend/types.ts';
import { AMPLIFIER, DAY, FROM_PROVIDER, givenPlaced, HANDOFF, NOON } from './givenFinding.ts';

const nowMs = NOON + 30 * DAY;
const telling = { timeZone: 'America/Chicago', nowMs, latestMs: nowMs };

function sentence(changes: Partial<Finding> = {}): string {
  return findingSentence(givenPlaced(changes), telling);
}

/** Nothing but a kind and its evidence: no pace, no limit. */
const PLAIN = { slopeDbPerDay: null, daysToLimit: null, shape: null } as const;

describe('findingSentence', () => {
  test('tells a drift with pace, date, hop, size and time left', () => {
    expect(sentence()).toBe(
      'Level falling 0.09 dB a day since 12 Oct between riser amplifier and floor 3; 2.7 dB lower so far (2.4 to 3.0); reaches its limit (level at least −12 dBmV) in about 19 days (14 to 27).',
    );
  });

  test('counts the days since the newest sweep off the time left', () => {
    expect(findingSentence(givenPlaced(), { ...telling, latestMs: nowMs - 5 * DAY })).toContain(
      'in about 14 days (9 to 22)',
    );
  });

  test('tells a step by its moment in the zone of the site', () => {
    const onsetMs = Date.parse('2026-10-12T03:30:00Z');
    expect(sentence({ ...PLAIN, ...FROM_PROVIDER, kind: 'step', onsetMs })).toBe(
      'Level fell 2.7 dB (2.4 to 3.0) on 11 Oct 22:30 at handoff, on the provider’s side.',
    );
  });

  test('names lost channels and shortens a long list', () => {
    const evidence = { channels: ['2', '3', '4', '5', '6'] };
    const lost = { ...PLAIN, kind: 'channel-lost', metric: 'channels', evidence } as const;
    expect(sentence({ ...lost, hopFrom: HANDOFF, hopTo: AMPLIFIER })).toBe(
      'Channels 2, 3, 4 and 2 more lost since 12 Oct 07:00 between handoff and riser amplifier.',
    );
  });

  test('says of an ended finding when it ended, and no time left', () => {
    const ended = sentence({ closedMs: NOON + 10 * DAY });
    expect(ended).toContain('; ended 22 Oct 07:00.');
    expect(ended).not.toContain('reaches');
  });

  test('names the point that explains it', () => {
    expect(sentence({ explainedBy: AMPLIFIER })).toContain(
      'at floor 3, explained by the same change at riser amplifier',
    );
  });

  test('crosses zero with signs, so that an interval never reads as its opposite', () => {
    expect(sentence({ sizeDb: 0.2, sizeLowDb: -0.3, sizeHighDb: 0.7 })).toContain(
      '0.2 dB higher so far (−0.3 to 0.7)',
    );
  });

  test('says where in the band a change is largest', () => {
    expect(sentence({ shape: 'cable' })).toContain(
      'falling 0.09 dB a day, most at the high end, since 12 Oct',
    );
    expect(sentence({ ...PLAIN, kind: 'step', shape: 'low-end' })).toContain(
      'Level fell 2.7 dB (2.4 to 3.0), most at the low end, on 12 Oct 07:00 between',
    );
  });

  test('names every hop that may be the one', () => {
    expect(sentence({ ...PLAIN, kind: 'step', side: 'unsure', alsoPossible: [AMPLIFIER] })).toBe(
      'Level fell 2.7 dB (2.4 to 3.0) on 12 Oct 07:00 between riser amplifier and floor 3 or between handoff and riser amplifier, side not sure.',
    );
    expect(sentence({ ...PLAIN, kind: 'step', side: 'unsure' })).toContain('at floor 3, side not sure.');
    expect(sentence({ ...PLAIN, kind: 'step', alsoPossible: [HANDOFF] })).toContain(
      'between riser amplifier and floor 3 or before handoff.',
    );
  });

  test.each([
    [
      'dips with how deep and how often',
      { kind: 'dips', sizeDb: -6, sizeLowDb: -7, sizeHighDb: -5, evidence: { times: 5 } },
      'Level dips of 6.0 dB (5.0 to 7.0), 5 times since 12 Oct between riser amplifier and floor 3.',
    ],
    [
      'a notch with its frequency and how it grows',
      {
        kind: 'notch',
        sizeDb: -2.1,
        sizeLowDb: -2.4,
        sizeHighDb: -1.8,
        slopeDbPerDay: -0.1,
        evidence: { freqMhz: 453.2 },
      },
      'Notch at 453 MHz, 2.1 dB deep (1.8 to 2.4), growing 0.10 dB a day since 12 Oct between riser amplifier and floor 3.',
    ],
    [
      'ripple with the distance of its echo',
      { kind: 'ripple', sizeDb: 0.8, sizeLowDb: 0.6, sizeHighDb: 1, evidence: { distanceM: 14.2 } },
      'Ripple of 0.8 dB peak to valley (0.6 to 1.0) since 12 Oct 07:00 between riser amplifier and floor 3; an echo from about 14 m away.',
    ],
    [
      'ripple whose distance the channels leave open',
      {
        kind: 'ripple',
        sizeDb: 0.8,
        sizeLowDb: 0.6,
        sizeHighDb: 1,
        evidence: { distanceM: 4.25, ambiguousDelay: true },
      },
      'Ripple of 0.8 dB peak to valley (0.6 to 1.0) since 12 Oct 07:00 between riser amplifier and floor 3; an echo from about 4.3 m away, if not from further.',
    ],
    [
      'channels that moved against the others',
      { kind: 'channel-shift', evidence: { channels: ['34', '35'] } },
      'Channels 34 and 35 fell 2.7 dB against the others (2.4 to 3.0) on 12 Oct 07:00 between riser amplifier and floor 3.',
    ],
    [
      'a channel whose MER moved against the others',
      { kind: 'channel-shift', metric: 'mer', evidence: { channels: ['34'] } },
      'MER of channel 34 fell 2.7 dB against the others (2.4 to 3.0) on 12 Oct 07:00 between riser amplifier and floor 3.',
    ],
  ] as const)('tells %s', (_what, changes, expected) => {
    expect(sentence({ ...PLAIN, ...changes })).toBe(expected);
  });
});

describe('time left', () => {
  const left = (p10: number, p50: number, p90: number) => sentence({ daysToLimit: { p10, p50, p90 } });

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
    expect(lastingClauses(givenPlaced(), late).at(-1)).toBe(
      'reaches its limit (level at least −12 dBmV) about 8 Jan 2027 (3 Jan 2027 to 16 Jan 2027)',
    );
  });
});
