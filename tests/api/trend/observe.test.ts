import { expect, test } from 'vitest';
import { buildFrame, type Carrier, type Frame } from '../../../api/trend/frame.ts';
import { observe } from '../../../api/trend/observe.ts';
import type { Sweep } from '../../../ingest/sweep.ts';

const FREQ_MHZ = Array.from({ length: 80 }, (_, i) => 57 + 6 * i);
const MIDDLE_MHZ = (57 + 531) / 2;
const analogue = (i: number) => i < 20;
const channel = (i: number) => `c${i}`;

/** Baseline: analogue 6 dB above digital, 4 dB of tilt. */
const then = (i: number) => 20 + (analogue(i) ? 6 : 0) + (4 * (FREQ_MHZ[i]! - MIDDLE_MHZ)) / 474;

function frame(change: (carrier: Carrier, i: number) => Carrier = (carrier) => carrier): Frame {
  const carriers = FREQ_MHZ.map((freqMhz, i) =>
    change(
      {
        freqMhz,
        channel: channel(i),
        group: analogue(i) ? 'analogue' : 'qam256',
        thenLevelDbmv: then(i),
        thenMerDb: analogue(i) ? null : 40,
        thenCnrDb: analogue(i) ? 48 : null,
        merLimitDb: analogue(i) ? null : 33,
        cnrLimitDb: analogue(i) ? 43 : null,
      },
      i,
    ),
  );
  const channelAt = (mhz: number) => {
    const i = FREQ_MHZ.indexOf(mhz);
    return i < 0 ? null : channel(i);
  };
  return buildFrame({
    carriers,
    band: { lowMhz: 57, highMhz: 531 },
    line: { levelDbmv: 20, tiltDb: 4 },
    channelAt,
  });
}

function sweep(level: (i: number) => number | null, more: Partial<Sweep> = {}): Sweep {
  return {
    atMs: 0,
    instrument: 'probe-1',
    ambientC: 20,
    freqMhz: FREQ_MHZ,
    levelDbmv: FREQ_MHZ.map((_, i) => level(i)),
    merDb: FREQ_MHZ.map((_, i) => (analogue(i) ? null : 40)),
    cnrDb: FREQ_MHZ.map((_, i) => (analogue(i) ? 48 : null)),
    berPre: null,
    berPost: null,
    lostMhz: [],
    ...more,
  };
}

test('a sweep like the baseline deviates by nothing', () => {
  const seen = observe(sweep(then), frame());
  expect(seen.features!.level).toBeCloseTo(0, 6);
  expect(seen.features!.tilt).toBeCloseTo(0, 6);
  expect(seen.features!.mer).toBeCloseTo(0, 6);
  expect(seen.scatterDb).toBeLessThan(0.06);
  expect(seen).toMatchObject({ levelDbmv: 20, tiltDb: 4, merMarginDb: 5, lostChannels: [] });
  expect(seen.channels).toBe(80);
});

test('a change of level and tilt is read at mid band and across the baseline’s band', () => {
  const seen = observe(
    sweep((i) => then(i) - 2 - (1.5 * (FREQ_MHZ[i]! - MIDDLE_MHZ)) / 474),
    frame(),
  );
  expect(seen.features!.level).toBeCloseTo(-2, 3);
  expect(seen.features!.tilt).toBeCloseTo(-1.5, 3);
  expect(seen.levelDbmv).toBeCloseTo(18, 3);
});

test('a lost channel and a notch bend neither level nor tilt', () => {
  const seen = observe(
    sweep((i) => (i === 70 ? then(i) - 30 : i > 40 && i < 46 ? then(i) - 8 : then(i))),
    frame(),
  );
  expect(seen.features!.level).toBeCloseTo(0, 1);
  expect(seen.features!.tilt).toBeCloseTo(0, 1);
  expect(seen.lostChannels).toEqual(['c70']);
  expect(seen.levelRestDb[43]).toBeCloseTo(-8, 0);
});

test('channels named as lost are lost when the plan has them', () => {
  const seen = observe(
    sweep((i) => (i === 5 ? null : then(i)), { lostMhz: [87, 999] }),
    frame(),
  );
  expect(seen.lostChannels).toEqual(['c5']);
  expect(seen.seenChannels).toHaveLength(79);
});

test('a channel that was not looked for is neither lost nor there', () => {
  const seen = observe(
    sweep((i) => (i === 5 ? null : then(i))),
    frame(),
  );
  expect(seen.lostChannels).toEqual([]);
  expect(seen.seenChannels).not.toContain('c5');
});

test('a planned line-up change is no deviation', () => {
  // The plan in force moved 30 channels: those have nothing to be compared with.
  const changed = frame((carrier, i) =>
    i >= 50 ? { ...carrier, thenLevelDbmv: null, thenMerDb: null, thenCnrDb: null } : carrier,
  );
  const seen = observe(
    sweep((i) => (i >= 50 ? 12 : then(i))),
    changed,
  );
  expect(seen.features!.level).toBeCloseTo(0, 6);
  expect(seen.features!.tilt).toBeCloseTo(0, 6);
  expect(seen.lostChannels).toEqual([]);
});

test('a carrier outside the plan counts for nothing', () => {
  const strange = frame((carrier, i) =>
    i === 10 ? { ...carrier, channel: null, thenLevelDbmv: null, thenMerDb: null, thenCnrDb: null } : carrier,
  );
  const seen = observe(
    sweep((i) => (i === 10 ? -40 : then(i))),
    strange,
  );
  expect(seen).toMatchObject({ lostChannels: [], channels: 79 });
});

test('with most channels lost the feed is lost and nothing else is said', () => {
  const seen = observe(
    sweep((i) => (i < 10 ? then(i) : null), { lostMhz: FREQ_MHZ.slice(10) }),
    frame(),
  );
  expect(seen).toMatchObject({ feedLost: true, levelDbmv: null, features: null, merMarginDb: null });
});

test('a feed that sank by 30 dB as a whole is lost', () => {
  expect(
    observe(
      sweep((i) => then(i) - 30),
      frame(),
    ).feedLost,
  ).toBe(true);
});

test('the worst margin names its channel', () => {
  const merDb = FREQ_MHZ.map((_, i) => (analogue(i) ? null : i === 60 ? 34.5 : 40));
  expect(observe(sweep(then, { merDb }), frame())).toMatchObject({
    merMarginDb: 1.5,
    merMarginChannel: 'c60',
  });
});

test('without a baseline level and tilt come from the levels, with analogue and digital apart', () => {
  const bare = buildFrame({
    carriers: frame().carriers.map((carrier) => ({ ...carrier, thenLevelDbmv: null, thenMerDb: null })),
    band: { lowMhz: 57, highMhz: 531 },
    line: null,
    channelAt: () => null,
  });
  const seen = observe(sweep(then), bare);
  expect(seen.levelDbmv).toBeCloseTo(20, 3);
  expect(seen.tiltDb).toBeCloseTo(4, 3);
  expect(seen.features).toBeNull();
});

test('a sweep of another grid is refused', () => {
  expect(() => observe({ ...sweep(then), freqMhz: [57] }, frame())).toThrow(RangeError);
});
