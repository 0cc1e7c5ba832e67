import { expect, test } from 'vitest';
import { latestReading } from '../../../api/risk/latestReading.ts';
import type { KeptLatest, LoadedPoint } from '../../../api/risk/loadSite.ts';

const kept: KeptLatest = {
  at: '2026-11-12T20:25:00.000Z',
  instrument: 'probe-7',
  ambientC: null,
  levelDbmv: 2,
  tiltDb: -0.4,
  flatnessDb: 0.8,
  worstMerMarginDb: 5,
  worstMerChannel: '7',
  levelDevDb: 0.1,
  tiltDevDb: 0,
  channels: 30,
  lostChannels: [],
};
const point = (latest: KeptLatest) => ({ latest, sweeps: [] }) as unknown as LoadedPoint;

test('tells how far the MER margin is from baseline, and nothing where it was not kept', () => {
  expect(latestReading(point({ ...kept, merDevDb: -0.4 }), null, undefined, new Map())?.merDevDb).toBe(-0.4);
  expect(latestReading(point(kept), null, undefined, new Map())?.merDevDb).toBeNull();
});

test('marks a reading taken in maintenance, and one by an instrument out of calibration', () => {
  const due = (iso: string) =>
    new Map([['probe-7', [{ atMs: 0, dueMs: Date.parse(iso), uncertaintyDb: null }]]]);
  const plain = latestReading(point(kept), null, undefined, due('2027-01-01T00:00:00Z'));
  expect(plain).toMatchObject({ inMaintenance: false, calibrationOverdueSince: null });
  const marked = latestReading(
    point({ ...kept, inMaintenance: true }),
    null,
    undefined,
    due('2026-11-01T00:00:00Z'),
  );
  expect(marked).toMatchObject({
    inMaintenance: true,
    calibrationOverdueSince: '2026-11-01T00:00:00.000Z',
  });
});
