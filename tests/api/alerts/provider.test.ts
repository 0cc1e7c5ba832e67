import { describe, expect, test } from 'vitest';
import { CHANCE_AT_MOST, chanceOfSoMany, ratePerSiteDay } from '../../../api/alerts/provider/chance.ts';
import { largestCluster, type Member } from '../../../api/alerts/provider/clusters.ts';
import { tellEvent } from '../../../api/alerts/provider/tellEvent.ts';

const HOUR = 3_600_000;
const ONSET = Date.parse('2026-11-02T12:00:00Z');

function member(siteId: number, changes: Partial<Member> = {}): Member {
  return {
    siteId,
    causeKey: `${siteId} shift level down`,
    likeness: 'shift level down',
    kind: 'step',
    metric: 'level',
    sizeDb: -4,
    side: 'provider',
    onsetMs: ONSET,
    onsetLowMs: ONSET,
    onsetHighMs: ONSET,
    firstSeenMs: ONSET,
    timeLeft: 'no-limit',
    severity: 'warning',
    outlets: 40,
    outletDays: 1,
    findings: [],
    ...changes,
  };
}

const at = (hours: number) => {
  const onsetMs = ONSET + hours * HOUR;
  return { onsetMs, onsetLowMs: onsetMs, onsetHighMs: onsetMs };
};

describe('chanceOfSoMany', () => {
  test('is the tail of a binomial distribution', () => {
    // p = 1/2 for each of three others: 7 of 8 outcomes have one at least, 4 two at least, 1 three.
    const rate = Math.log(2);
    expect(chanceOfSoMany(1, 4, rate, 1)).toBeCloseTo(1, 12);
    expect(chanceOfSoMany(2, 4, rate, 1)).toBeCloseTo(7 / 8, 12);
    expect(chanceOfSoMany(3, 4, rate, 1)).toBeCloseTo(4 / 8, 12);
    expect(chanceOfSoMany(4, 4, rate, 1)).toBeCloseTo(1 / 8, 12);
  });

  test('asks for more sites the more a provider has, and the more often they change by themselves', () => {
    const needed = (sites: number, rate: number) => {
      let alike = 2;
      while (chanceOfSoMany(alike, sites, rate, 0.5) > CHANCE_AT_MOST) alike++;
      return alike;
    };
    const fresh = ratePerSiteDay(0, 0);
    expect([2, 9, 400].map((sites) => needed(sites, fresh))).toEqual([2, 3, 7]);
    expect(needed(9, ratePerSiteDay(30, 9 * 90))).toBeGreaterThan(needed(9, ratePerSiteDay(0, 9 * 90)));
  });
});

describe('largestCluster', () => {
  const rate = ratePerSiteDay(0, 0);

  test('takes sites that changed within hours of one of them', () => {
    const cluster = largestCluster(
      [member(1), member(2, at(5)), member(3, at(-5)), member(4, at(30))],
      9,
      rate,
    );
    expect(cluster?.members.map(({ siteId }) => siteId)).toEqual([1, 2, 3]);
    expect(cluster?.chance).toBeLessThan(CHANCE_AT_MOST);
  });

  test('leaves two of nine to chance', () => {
    expect(largestCluster([member(1), member(2)], 9, rate)).toBeNull();
  });

  test('counts a site once', () => {
    expect(largestCluster([member(1), member(1, at(1)), member(2)], 9, rate)).toBeNull();
  });

  test('lets a long doubt about the onset count against it', () => {
    const unsure = { onsetLowMs: ONSET - 20 * 24 * HOUR, onsetHighMs: ONSET + 20 * 24 * HOUR };
    const sites = [1, 2, 3].map((siteId) => member(siteId, unsure));
    expect(largestCluster(sites, 9, rate)).toBeNull();
  });
});

describe('tellEvent', () => {
  const place = {
    provider: 'Northreach',
    siteNames: new Map([
      [1, 'Alder'],
      [2, 'Birch'],
      [3, 'Cedar'],
    ]),
  };

  test('says what, how many sites, whose and what to do', () => {
    const told = tellEvent([member(1), member(2, { sizeDb: -4.4 }), member(3, { sizeDb: -3 })], 3, place);
    expect(told.title).toBe('Northreach: level fell by about 4.0 dB at the handoff of 3 sites within hours');
    expect(told.sentence).toContain('Alder, Birch and Cedar; 120 outlets behind them');
    expect(told).toMatchObject({ side: 'provider', severity: 'warning', outlets: 120, priority: 3 });
  });

  test('is as grave as its gravest site, by the outlets of all', () => {
    const told = tellEvent(
      [member(1, { outlets: 8, timeLeft: 'lost' }), member(2, { outlets: 15 })],
      2,
      place,
    );
    expect(told.severity).toBe('critical');
    expect(told.limitDays?.p50).toBe(0);
  });
});
