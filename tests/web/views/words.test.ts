import { expect, test } from 'vitest';
import type { SiteView } from '../../../api/schemas/site.ts';
import { today } from '../../../web/views/fleet/today.ts';
import { limitDemand } from '../../../web/views/setup/limits/limitWords.ts';
import { formatServices, parseServices } from '../../../web/views/setup/plans/planDraft.ts';
import { inTreeOrder, possibleFeeders } from '../../../web/views/setup/sites/pointDraft.ts';
import { channelCsv, sortChannels } from '../../../web/views/site/channelRows.ts';
import { hopInWords, judgeHandoff, leadingFinding, pointToOpen } from '../../../web/views/site/placing.ts';
import { makeFleet } from '../fixtures/fleet.ts';
import { makeBand } from '../fixtures/point.ts';
import { fleetLimits, makeSetup } from '../fixtures/setup.ts';
import { makeSite } from '../fixtures/site.ts';

const fleet = makeFleet(42);
const acting = makeSite(fleet.find((row) => row.verdict === 'act')!);
const steady = makeSite(fleet.find((row) => row.verdict === 'steady')!);
const none = { act: 0, watch: 0, silent: 0, 'no-baseline': 0, steady: 0 };

test('the first sentence says how many sites need action and where to start', () => {
  const rows = fleet.slice(0, 1);
  expect(today({ sites: 42, counts: { ...none, act: 3 }, rows })).toEqual({
    sentence: '3 of 42 sites need action.',
    startWith: rows[0],
  });
  expect(today({ sites: 42, counts: { ...none, act: 1 }, rows }).sentence).toBe(
    '1 of 42 sites needs action.',
  );
});

test('a quiet day names nothing to start with, a silent site is named first', () => {
  const rows = fleet.slice(-1);
  expect(today({ sites: 42, counts: { ...none, steady: 42 }, rows })).toEqual({
    sentence: 'None of 42 sites needs action.',
    startWith: null,
  });
  const quiet = today({ sites: 42, counts: { ...none, silent: 2, watch: 5 }, rows });
  expect(quiet.sentence).toBe('None of 42 sites needs action; 2 silent, 5 to watch.');
  const one = today({ sites: 1, counts: { ...none, silent: 1 }, rows });
  expect(one).toEqual({ sentence: 'The one site is silent.', startWith: rows[0] });
  expect(today({ sites: 0, counts: none, rows: [] }).startWith).toBeNull();
});

test('the handoff is judged before anything below it', () => {
  expect(judgeHandoff(acting).word).toBe('fine');
  expect(judgeHandoff(acting).sentence).toContain('inside the building');
  expect(judgeHandoff(steady).sentence).not.toContain('inside the building');
  const bad = {
    ...acting,
    points: acting.points.map((p) => (p.kind === 'handoff' ? { ...p, verdict: 'act' as const } : p)),
  };
  expect(judgeHandoff(bad).word).toBe('cause');
  expect(judgeHandoff({ ...acting, points: [] }).word).toBe('unknown');
});

test('sweeps of the handoff that come otherwise than they should are no change of the feed', () => {
  const watched = (kind: 'frozen' | 'off-schedule'): SiteView => ({
    ...steady,
    troubles: [{ kind, pointIds: [1], since: '2026-03-08T12:00:00Z', sentence: '', doFirst: '' }],
    points: steady.points.map((point) =>
      point.kind === 'handoff' ? { ...point, verdict: 'watch' as const } : point,
    ),
  });
  expect(judgeHandoff(watched('off-schedule')).word).toBe('fine');
  expect(judgeHandoff(watched('off-schedule')).sentence).not.toContain('inside the building');
  expect(judgeHandoff(watched('frozen'))).toMatchObject({
    word: 'unknown',
    sentence: expect.stringContaining('frozen'),
  });
});

test('the finding that nothing upstream explains leads, and its point opens', () => {
  expect(leadingFinding(acting)?.pointName).toBe('riser-amp');
  expect(pointToOpen(acting)).toBe(4);
  expect(leadingFinding(steady)).toBeNull();
  const small = {
    ...acting,
    findings: acting.findings.map((finding) => ({ ...finding, withinFloor: true })),
  };
  expect(leadingFinding(small)).toBeNull();
  expect(pointToOpen(steady)).toBe(1);
});

test('a hop is named by what people call its ends', () => {
  expect(hopInWords(acting, { from: 'gear-out', to: 'riser-amp' })).toBe(
    'between Distribution gear, output and Riser amplifier, floor 5',
  );
  expect(hopInWords(acting, { from: null, to: 'handoff' })).toContain('provider’s feed');
});

test('channels sort as people count, with what is missing last both ways', () => {
  const { channels } = makeBand(acting, 4);
  const names = sortChannels(channels, 'channel', false).map((c) => c.channel);
  expect(names.slice(0, 3)).toEqual(['2', '3', '4']);
  expect(names.at(-1)).toBeNull();
  expect(sortChannels(channels, 'channel', true).at(-1)?.channel).toBeNull();
});

test('the CSV quotes what needs it and leaves no formula for a spreadsheet to run', () => {
  const channel = {
    ...makeBand(acting, 4).channels[0]!,
    channel: '=1+1',
    services: [{ number: '7,1', name: '' }],
  };
  const [head, line] = channelCsv([channel]).split('\r\n');
  expect(head?.split(',')).toHaveLength(15);
  expect(line?.startsWith('\'=1+1,planned,"7,1",57,analogue,')).toBe(true);
});

test('programmes are typed as number and name, and come back as typed', () => {
  const typed = '7.1 News at Noon; 702 Weather';
  expect(parseServices(typed)).toEqual([
    { number: '7.1', name: 'News at Noon' },
    { number: '702', name: 'Weather' },
  ]);
  expect(formatServices(parseServices(typed))).toBe(typed);
  expect(parseServices(' ; ')).toEqual([]);
});

test('a point is never offered a feeder that hangs below it', () => {
  const { points } = makeSetup(acting);
  const amplifier = points.find((point) => point.name === 'riser-amp')!;
  expect(possibleFeeders(points, amplifier).map((point) => point.name)).toEqual([
    'handoff',
    'gear-in',
    'gear-out',
  ]);
  expect(inTreeOrder(points).map(({ depth }) => depth)).toEqual([0, 1, 2, 3, 4, 5, 4]);
});

test('a limit says what it asks for in words', () => {
  expect(fleetLimits.sets[0]!.limits.map(limitDemand)).toEqual([
    '14 to 26 dBmV; aim at 20 dBmV',
    'at least 38 dB',
    '−3 to 3 dB; aim at 0 dB',
  ]);
});
