import { describe, expect, test } from 'vitest';
import type { SiteTrouble } from '../../../api/punctuality/siteTroubles.ts';
import { assessSite } from '../../../api/risk/assessSite.ts';
import { spreadOutlets } from '../../../api/risk/siteFacts.ts';
import { FROM_PROVIDER } from '../diagnosis/givenFinding.ts';
import { DAY, givenChannels, givenDrift, givenPoint, givenSite, NOW } from './givenSiteFacts.ts';

const ABSENT: SiteTrouble = {
  kind: 'absent',
  pointIds: [3],
  sinceMs: NOW - DAY,
  clauses: ['No sweep from floor 3 since 11 Nov 14:30, due every 15 min'],
  doFirst: 'Look at its power.',
};
const FROZEN: SiteTrouble = {
  ...ABSENT,
  kind: 'frozen',
  clauses: ['Sweeps of floor 3 frozen since 11 Nov 14:30'],
};

describe('assessSite', () => {
  test('calls a site steady and says within what, where and when', () => {
    const steady = assessSite(givenSite(), NOW);
    expect(steady.verdict).toBe('steady');
    expect(steady.side).toBe(null);
    expect(steady.sentence).toBe(
      'Level and tilt within 0.3 dB of baseline at 2 points; last sweep 12 Nov 14:25.',
    );
  });

  test('watches an open finding that leaves time, and tells what, since when, where, how long and for how many', () => {
    const watched = assessSite(givenSite({}, [givenDrift()]), NOW);
    expect(watched.verdict).toBe('watch');
    expect(watched.side).toBe('building');
    expect(watched.daysToLimit).toBeCloseTo(19, 1);
    expect(watched.sentence).toBe(
      'Level falling 0.09 dB a day since 12 Oct between handoff and floor 3 (building side); 2.7 dB lower so far (2.4 to 3.0); reaches its limit (level at least −12 dBmV) about 1 Dec (26 Nov to 9 Dec); 48 outlets at stake.',
    );
  });

  test('calls for action once a drift is likely to use up its margin within the horizon', () => {
    const drifting = givenChannels({ marginDb: 1.2, worseningDbPerDay: 0.09, worseningSdDbPerDay: 0.015 });
    const urgent = assessSite(givenSite({ channels: drifting }, [givenDrift()]), NOW);
    expect(urgent.verdict).toBe('act');
    expect(urgent.points.map(({ verdict }) => verdict)).toEqual(['steady', 'act']);
  });

  test('names the limit that is broken now when no finding explains it', () => {
    const channels = givenChannels().map((each, i) =>
      i === 5
        ? {
            ...each,
            margins: [
              {
                ...each.margins[0]!,
                quantity: 'mer' as const,
                unit: 'dB' as const,
                limit: 33,
                marginDb: -1.8,
              },
            ],
          }
        : each,
    );
    const broken = assessSite(givenSite({ channels }), NOW);
    expect(broken).toMatchObject({ verdict: 'act', side: 'unsure', daysToLimit: 0 });
    expect(broken.sentence).toBe(
      'MER of channel 7 at floor 3 is 1.8 dB below its limit of 33 dB; 48 outlets at stake.',
    );
  });

  test('does not explain a limit that is broken at one point by a finding at another', () => {
    const elsewhere = givenDrift({ pointId: 4, hopTo: 4 });
    const site = givenSite({ channels: givenChannels({ marginDb: -0.5 }) }, [elsewhere]);
    const floor4 = givenPoint({ pointId: 4, title: 'floor 4', fedBy: 1, outlets: 5 });
    const assessed = assessSite({ ...site, points: [...site.points, floor4] }, NOW);
    expect(assessed.sentence).toMatch(/^Level of channel 2 at floor 3 is 0.5 dB below its limit/);
  });

  test.each([
    ['half a decibel at most and no limit ahead', {}, 'steady'],
    ['a limit far ahead', { daysToLimit: { p10: 91, p50: 200, p90: 400 } }, 'steady'],
    ['a limit that may come within 90 days', { daysToLimit: { p10: 90, p50: 200, p90: 400 } }, 'watch'],
    ['an interval that reaches beyond half a decibel', { sizeLowDb: -0.51 }, 'watch'],
    ['a rise beyond half a decibel', { sizeHighDb: 0.6 }, 'watch'],
    ['a lost channel, which has no size', { kind: 'channel-lost', metric: 'channels' }, 'watch'],
  ] as const)('weighs what a small finding comes to: %s', (_, changes, verdict) => {
    const small = {
      sizeDb: -0.2,
      sizeLowDb: -0.3,
      sizeHighDb: -0.1,
      slopeDbPerDay: -0.01,
      daysToLimit: null,
    };
    const finding = givenDrift({ ...small, limitName: null, ...changes });
    const assessed = assessSite(givenSite({}, [finding]), NOW);
    expect(assessed.verdict).toBe(verdict);
    expect(assessed.points.map((point) => point.verdict)).toEqual(['steady', verdict]);
    if (verdict === 'steady') {
      expect(assessed).toMatchObject({ side: null, sinceMs: null, daysToLimit: null });
      expect(assessed.sentence).toMatch(/^Level and tilt within 0.3 dB of baseline/);
    }
  });

  test('watches a site that expects to lose outlet-days though no finding is open', () => {
    const close = assessSite(givenSite({ channels: givenChannels({ marginDb: 1.1 }) }), NOW);
    expect(close.outletDays).toBeGreaterThan(1);
    expect(close.verdict).toBe('watch');
    expect(close.sentence).toBe(
      'Level of channel 2 at floor 3 is 1.1 dB above its limit of −12 dBmV; 48 outlets at stake.',
    );
  });

  test('leads with the finding that explains the others', () => {
    const cause = givenDrift({ ...FROM_PROVIDER, sizeDb: -2 });
    const follower = givenDrift({ ...FROM_PROVIDER, pointId: 3, explainedBy: 1 });
    const assessed = assessSite(givenSite({}, [follower, cause]), NOW);
    expect(assessed.side).toBe('provider');
    expect(assessed.sentence).toContain('at handoff, on the provider’s side; 2.0 dB lower so far');
    expect(assessed.sentence).not.toContain('other finding');
  });

  test('calls silence by its name and ranks the silent site above its reporting self', () => {
    const silent = assessSite({ ...givenSite({ lastAtMs: NOW - DAY }), troubles: [ABSENT] }, NOW);
    expect(silent.verdict).toBe('silent');
    expect(silent.sinceMs).toBe(NOW - DAY);
    expect(silent.points.map(({ verdict }) => verdict)).toEqual(['steady', 'silent']);
    expect(silent.sentence).toBe(
      'No sweep from floor 3 since 11 Nov 14:30, due every 15 min; 48 outlets unseen.',
    );
    expect(silent.outletDays).toBeGreaterThan(assessSite(givenSite(), NOW).outletDays);
  });

  test('watches sweeps that come otherwise than they should, when nothing worse stands', () => {
    const frozen = assessSite({ ...givenSite(), troubles: [FROZEN] }, NOW);
    expect(frozen).toMatchObject({ verdict: 'watch', side: 'unsure', sinceMs: NOW - DAY });
    expect(frozen.sentence).toBe('Sweeps of floor 3 frozen since 11 Nov 14:30.');
    expect(frozen.points.map(({ verdict }) => verdict)).toEqual(['steady', 'watch']);

    const drifting = assessSite({ ...givenSite({}, [givenDrift()]), troubles: [FROZEN] }, NOW);
    expect(drifting.sentence).toMatch(/^Level falling/);
    const close = givenSite({ channels: givenChannels({ marginDb: 1.1 }) });
    expect(assessSite({ ...close, troubles: [FROZEN] }, NOW).sentence).toMatch(/^Level of channel 2/);
  });

  test('mentions a sweep that is late and stays steady', () => {
    const late = { ...FROZEN, kind: 'late', clauses: ['Sweep of floor 3 late'] } as const;
    const assessed = assessSite({ ...givenSite(), troubles: [late] }, NOW);
    expect(assessed.verdict).toBe('steady');
    expect(assessed.sentence).toMatch(/^Level and tilt within .*; sweep of floor 3 late\.$/);
  });

  test('says of a site in maintenance until when and why', () => {
    const maintenance = { toMs: NOW + DAY, reason: 'riser amplifier is replaced' };
    expect(assessSite({ ...givenSite(), maintenance }, NOW).sentence).toMatch(
      /; in maintenance until 13 Nov 14:30 \(riser amplifier is replaced\)\.$/,
    );
  });

  test('says that no baseline is accepted, and that nothing came in at all', () => {
    const points = [givenPoint({ hasBaseline: false, outlets: 10 })];
    const site = { ...givenSite(), timeZone: 'UTC', points };
    expect(assessSite(site, NOW)).toMatchObject({
      verdict: 'no-baseline',
      sentence:
        'No accepted baseline at 1 point, so a change cannot be told from the normal; last sweep 12 Nov 20:25.',
    });
    const empty = { ...site, points: [givenPoint({ hasBaseline: false, lastAtMs: null, channels: [] })] };
    expect(assessSite(empty, NOW).sentence).toContain('No sweep has come in yet');
  });

  test('assesses a site without points', () => {
    expect(assessSite({ ...givenSite(), points: [] }, NOW)).toMatchObject({
      verdict: 'no-baseline',
      outletDays: 0,
      lastSweepMs: null,
    });
  });
});

describe('spreadOutlets', () => {
  test('gives outlets that no point claims to the last points of the tree', () => {
    const points = [
      { pointId: 1, fedBy: null, outlets: 0 },
      { pointId: 2, fedBy: 1, outlets: 4 },
      { pointId: 3, fedBy: 1, outlets: 0 },
    ];
    expect(spreadOutlets(points, 10).map(({ outlets }) => outlets)).toEqual([0, 7, 3]);
    expect(spreadOutlets(points, 4)).toEqual(points);
  });
});
