import { describe, expect, test } from 'vitest';
import type { ReceivedReport } from '../../../api/agents/agentReports.ts';
import { siteTroubles } from '../../../api/punctuality/siteTroubles.ts';
import type { PointReadings, ServerProbe } from '../../../api/punctuality/types.ts';
import {
  givenAbsent,
  givenReadings,
  givenReport,
  givenServerProbe,
  givenSweeps,
  HOUR,
  MINUTE,
  NOW,
} from './givenReadings.ts';

const FLOOR_3 = { pointId: 2, name: 'floor-3', title: 'floor 3' };

function told(points: PointReadings[], agents: ReceivedReport[] = [], probes: ServerProbe[] = []) {
  const around = { timeZone: 'America/Chicago', nowMs: NOW, agents, probes };
  const troubles = siteTroubles(points, [], around);
  return troubles.map(({ clauses, doFirst }) => ({ sentence: `${clauses.join('; ')}.`, doFirst }));
}

describe('a site that goes dark', () => {
  const dark = [givenAbsent(HOUR), givenAbsent(HOUR, FLOOR_3)];

  test('points to the agent’s power or link when it fell silent with nothing waiting', () => {
    const [trouble, ...others] = told(dark, [givenReport(62 * MINUTE)]);
    expect(others).toEqual([]);
    expect(trouble!.sentence).toBe(
      'All 2 points silent since 12 Nov 13:30, due every 15 min; the last report of agent riser-box came on 12 Nov 13:28 with nothing waiting: look at its power or link first.',
    );
    expect(trouble!.doFirst).toMatch(/^Look at the power of agent riser-box first/);
  });

  test('points to the agent’s link when it fell silent with sweeps waiting', () => {
    const [trouble] = told(dark, [givenReport(62 * MINUTE, { spool: { waiting: 14 } })]);
    expect(trouble!.sentence).toMatch(/with 14 sweeps waiting: look at its link first\.$/);
  });

  test('points to the instrument when the agent still reports and can’t read it', () => {
    const { probes } = givenReport(MINUTE).report;
    const lastError = { at: null, message: 'no answer from 192.0.2.10', action: 'check its power' };
    const failing = probes.map((probe) => ({ ...probe, lastError }));
    const [trouble] = told(dark, [givenReport(MINUTE, { probes: failing })]);
    expect(trouble!.sentence).toMatch(
      /; agent riser-box reports and can't read: no answer from 192\.0\.2\.10\.$/,
    );
    expect(trouble!.doFirst).toBe('The agent and its link work, so look at the instrument: check its power.');
  });

  test('points to the way to the server when the agent holds what it can’t send', () => {
    const sending = { lastError: { at: null, message: 'the site key was revoked', action: 'issue another' } };
    const [trouble] = told(dark, [givenReport(MINUTE, { spool: { waiting: 3 }, sending })]);
    expect(trouble!.sentence).toMatch(/holds 3 sweeps that it can't send: the site key was revoked\.$/);
  });

  test('names the server’s own probe that fails, since when, with its error and what to do', () => {
    const [trouble] = told([givenAbsent(HOUR)], [], [givenServerProbe(58 * MINUTE)]);
    expect(trouble!.sentence).toBe(
      'No sweep from handoff since 12 Nov 13:30, due every 15 min; probe cellar modem of this server has failed since 12 Nov 13:32: 192.0.2.14 did not answer within 6 s.',
    );
    expect(trouble!.doFirst).toBe('Begin with probe cellar modem: check that the modem is on.');
  });

  test('begins with the probe that failed first where several fail, at other points left aside', () => {
    const floor = givenServerProbe(59 * MINUTE, { pointId: 2, name: 'floor modem' });
    const elsewhere = givenServerProbe(9 * HOUR, { pointId: 3, name: 'roof modem' });
    const [trouble] = told(dark, [], [elsewhere, givenServerProbe(58 * MINUTE), floor]);
    expect(trouble!.sentence).toMatch(
      /; 2 probes of this server fail, floor modem first, since 12 Nov 13:31: 192\.0\.2\.14 did not/,
    );
  });

  test('says so when older runs of the failing probe are no longer kept', () => {
    const probe = givenServerProbe(HOUR);
    const older = { ...probe, failing: { ...probe.failing!, orEarlier: true } };
    expect(told(dark, [], [older])[0]!.sentence).toMatch(/has failed since 12 Nov 13:30 or earlier: /);
  });

  test('points to the server when it does not come round, and to whoever paused the probe', () => {
    const late = givenServerProbe(0, { standing: 'late', dueMs: NOW - HOUR, failing: null });
    expect(told(dark, [], [late])[0]).toMatchObject({
      sentence: expect.stringMatching(
        /; probe cellar modem was due on 12 Nov 13:30 and no server has read it\.$/,
      ),
      doFirst: expect.stringMatching(/^See that a server with the role jobs runs/),
    });
    const paused = givenServerProbe(0, { standing: 'paused', failing: null });
    expect(told(dark, [], [paused])[0]!.sentence).toMatch(/; probe cellar modem of this server is paused\.$/);
  });

  test('lets a probe that is sound accuse nobody', () => {
    const sound = givenServerProbe(0, { standing: 'sound', failing: null });
    expect(told(dark, [], [sound])[0]!.sentence).toMatch(/all were read by probe-7/);
  });

  test('hears the agent where it reads more of the silent points than the server', () => {
    const probes = [givenServerProbe(58 * MINUTE)];
    expect(told(dark, [givenReport(62 * MINUTE)], probes)[0]!.sentence).toMatch(/agent riser-box/);
    const elsewhere = givenReport(62 * MINUTE, { probes: [] });
    expect(told(dark, [elsewhere], probes)[0]!.sentence).toMatch(/probe cellar modem/);
  });

  test('says which point went first where no agent reports', () => {
    const [trouble] = told([givenAbsent(HOUR), givenAbsent(5 * HOUR, FLOOR_3)]);
    expect(trouble!.sentence).toBe(
      'All 2 points silent since 12 Nov 09:30, due every 15 min; floor 3 went first, on 12 Nov 09:30.',
    );
    expect(trouble!.doFirst).toMatch(/^Begin at floor 3/);
  });

  test('names the instrument that all silent points share, and an agent that reads none of them is no witness', () => {
    const elsewhere = givenReport(MINUTE, { probes: [] });
    const [trouble] = told(dark, [elsewhere]);
    expect(trouble!.sentence).toMatch(/; all were read by probe-7 and fell silent together\.$/);
  });

  test('is not told as dark while one point still sends', () => {
    const other = givenSweeps(() => ({ instrument: 'probe-9' }));
    const [trouble] = told([givenReadings({ sweeps: other }), givenAbsent(HOUR, FLOOR_3)]);
    expect(trouble!.sentence).toBe('No sweep from floor 3 since 12 Nov 13:30, due every 15 min.');
    expect(trouble!.doFirst).toMatch(/^Look at probe-7 first/);
  });
});

test('each trouble says what, since when and what to do first, the gravest before the others', () => {
  const frozen = givenSweeps((age) => ({ repeats: age < 6 }));
  const partial = givenSweeps((age) => ({ channels: age < 4 ? 12 : 78 }));
  const seldom = givenSweeps((age) => ({ atMs: NOW - MINUTE - age * HOUR }));
  const points = [
    givenReadings({ sweeps: seldom, pointId: 4, title: 'floor 5' }),
    givenAbsent(31 * MINUTE, { pointId: 5, title: 'floor 6' }),
    givenReadings({ sweeps: partial, pointId: 3, title: 'floor 4' }),
    givenReadings({ sweeps: frozen, ...FLOOR_3 }),
  ];
  const troubles = told(points);
  expect(troubles.map(({ sentence }) => sentence)).toEqual([
    'Sweeps of floor 3 frozen since 12 Nov 12:55: 7 sweeps with exactly the same numbers, which noise makes impossible.',
    'Sweeps of floor 4 partial since 12 Nov 13:40: probe-7 gives 12 of the usual 78 channels.',
    'Sweeps of floor 5 come far less often than set since 9 Nov 07:29 or earlier: every 60 min, set to every 15 min.',
    'Sweep of floor 6 late: due on 12 Nov 14:14, none since 12 Nov 13:59.',
  ]);
  for (const { doFirst } of troubles) expect(doFirst).toMatch(/^(Restart|Look|Make|Nothing)/);
});
