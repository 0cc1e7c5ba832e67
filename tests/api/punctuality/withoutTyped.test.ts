import { expect, test } from 'vitest';
import { judgePoint } from '../../../api/punctuality/judgePoint.ts';
import { withoutTyped } from '../../../api/punctuality/withoutTyped.ts';
import { typedInstrument } from '../../../ingest/typedInstrument.ts';
import {
  givenReadings,
  givenReport,
  givenServerProbe,
  givenSweeps,
  HOUR,
  MINUTE,
  NOW,
} from './givenReadings.ts';

/** The probe fell silent three hours ago; a person typed a sweep five minutes ago. */
const LAST_READ = NOW - 3 * HOUR;
const beside = givenReadings({
  sweeps: givenSweeps((age) =>
    age === 0 ? { instrument: typedInstrument('meter-3') } : { atMs: LAST_READ - (age - 1) * 15 * MINUTE },
  ),
});
const kindsFor = (readers: Partial<Parameters<typeof withoutTyped>[2]>) =>
  judgePoint(withoutTyped(beside, LAST_READ, { probes: [], agents: [], ...readers }, NOW), [], NOW).map(
    ({ kind }) => kind,
  );

test('a sweep that a person typed does not make a silent probe of the server heard', () => {
  expect(kindsFor({ probes: [givenServerProbe(2 * HOUR)] })).toEqual(['absent']);
});

test('nor does it make a silent agent heard', () => {
  expect(kindsFor({ agents: [givenReport(2 * HOUR)] })).toEqual(['absent']);
});

test.each([
  ['nothing else reads the point', {}],
  ['the probe is paused', { probes: [givenServerProbe(0, { standing: 'paused' })] }],
  ['the probe has never brought a sweep', { probes: [givenServerProbe(0, { hasRead: false })] }],
  ['the probe reads another point', { probes: [givenServerProbe(0, { pointId: 9 })] }],
  ['the agent has been gone for more than a week', { agents: [givenReport(8 * 24 * HOUR)] }],
  ['the agent reads other points', { agents: [givenReport(MINUTE, { probes: [] })] }],
])('it counts where %s', (_, readers) => {
  expect(kindsFor(readers)).not.toContain('absent');
});

test('a point of typed sweeps alone stays as it is', () => {
  const sweeps = givenSweeps(() => ({ instrument: typedInstrument('meter-3') }));
  const typed = givenReadings({ sweeps });
  expect(withoutTyped(typed, null, { probes: [givenServerProbe(0)], agents: [] }, NOW)).toBe(typed);
});
