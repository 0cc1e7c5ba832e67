import { describe, expect, test } from 'vitest';
import { type RepairFacts, repairStanding } from '../../../api/visits/repairStanding.ts';

const HOUR = 3_600_000;
const BEGAN = Date.parse('2026-03-09T09:00:00Z');
const DONE = BEGAN + HOUR;

/** Hours of readings from a day before the work until `hours` after it. */
function readings(hours: number, before: number, after: (hour: number) => number) {
  return Array.from({ length: 24 + 1 + hours }, (_, i) => {
    const hourMs = BEGAN + (i - 24) * HOUR;
    return { hourMs, levelDevDb: hourMs < DONE ? before : after(i - 25), tiltDevDb: 0 };
  });
}

function standing(changes: Partial<RepairFacts> = {}) {
  return repairStanding({
    outcome: 'repaired',
    beganMs: BEGAN,
    doneMs: DONE,
    findings: [{ closedMs: null, closedBy: null }],
    hours: readings(10, -3, () => 0),
    ...changes,
  });
}

describe('a reported repair', () => {
  test('waits for sweeps until the engine closes its findings, all of them', () => {
    expect(standing({ hours: [] })).toMatchObject({ state: 'waiting', hoursRead: 0 });
    expect(standing()).toMatchObject({ state: 'waiting', hoursRead: 10 });
    const [open, closed] = [
      { closedMs: null, closedBy: null },
      { closedMs: DONE + 8 * HOUR, closedBy: null },
    ];
    expect(standing({ findings: [closed, open] }).state).toBe('waiting');
    expect(standing({ findings: [closed, closed] })).toMatchObject({
      state: 'confirmed',
      atMs: DONE + 8 * HOUR,
    });
  });

  test('is not confirmed by a finding that was over before the work began', () => {
    expect(standing({ findings: [{ closedMs: BEGAN - HOUR, closedBy: null }] }).state).toBe('waiting');
  });

  test('that ended in a new baseline says so', () => {
    const findings = [{ closedMs: DONE + HOUR, closedBy: 'baseline 3' }];
    expect(standing({ findings }).state).toBe('new-baseline');
  });

  test('that changed the normal proposes a baseline once readings have held for a day', () => {
    expect(standing({ hours: readings(20, -3, () => 1.2) }).state).toBe('waiting');
    expect(standing({ hours: readings(30, -3, () => 1.2) })).toMatchObject({
      state: 'normal-changed',
      window: { fromMs: DONE, toMs: DONE + 30 * HOUR },
    });
  });

  test('that goes on drifting is no new normal', () => {
    expect(standing({ hours: readings(60, -3, (hour) => -1 - hour * 0.04) }).state).toBe('waiting');
  });

  test('that changed nothing is still there after three days of readings', () => {
    expect(standing({ hours: readings(60, -3, () => -3.1) }).state).toBe('waiting');
    expect(standing({ hours: readings(80, -3, () => -3.1) }).state).toBe('still-there');
  });

  test('is not asked about where nothing was repaired', () => {
    expect(standing({ outcome: 'nothing-found' }).state).toBe('not-asked');
  });
});
