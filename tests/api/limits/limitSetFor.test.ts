import { describe, expect, test } from 'vitest';
import { describeSource } from '../../../api/limits/describeSource.ts';
import type { LimitChoice } from '../../../api/limits/limitChoice.ts';
import { limitFor } from '../../../api/limits/limitFor.ts';
import { limitSetFor } from '../../../api/limits/limitSetFor.ts';
import { qualityFloor } from '../../../api/limits/qualityFloor.ts';

const outlet = { pointId: 7, kind: 'outlet' } as const;

let nextId = 1;
function choice(changes: Partial<LimitChoice>): LimitChoice {
  return {
    choiceId: nextId++,
    kind: 'outlet',
    pointId: null,
    setId: 'federal-guide',
    changes: [],
    reason: 'agreed with the owner',
    chosenBy: 'Ada',
    chosenAtMs: 1000,
    ...changes,
  };
}

describe('limitSetFor', () => {
  test('takes the default of the kind when nobody chose', () => {
    expect(limitSetFor(outlet, { fleet: [], site: [] })).toMatchObject({
      id: 'scte-40',
      scope: 'default',
      choice: null,
    });
    expect(limitSetFor({ pointId: 1, kind: 'handoff' }, { fleet: [], site: [] }).id).toBe(
      'distribution-input',
    );
  });

  test('prefers the point, then its kind at the site, then its kind in the fleet, whatever their age', () => {
    const fleet = [choice({ setId: 'iec-60728-1', chosenAtMs: 9000 })];
    const atSite = choice({ setId: 'federal-guide', chosenAtMs: 5000 });
    const atPoint = choice({ setId: 'fcc-analogue', kind: null, pointId: 7, chosenAtMs: 1 });
    expect(limitSetFor(outlet, { fleet, site: [] })).toMatchObject({ id: 'iec-60728-1', scope: 'fleet' });
    expect(limitSetFor(outlet, { fleet, site: [atSite] })).toMatchObject({
      id: 'federal-guide',
      scope: 'site',
    });
    expect(limitSetFor(outlet, { fleet, site: [atSite, atPoint] })).toMatchObject({
      id: 'fcc-analogue',
      scope: 'point',
    });
  });

  test('is not touched by choices for other kinds or other points', () => {
    const site = [choice({ kind: 'amplifier' }), choice({ kind: null, pointId: 8 })];
    expect(limitSetFor(outlet, { fleet: [choice({ kind: 'handoff' })], site }).scope).toBe('default');
  });

  test('lets the newest choice of a scope win, the later id when they are equally old', () => {
    const older = choice({ setId: 'iec-60728-1', chosenAtMs: 1000 });
    const newer = choice({ setId: 'federal-guide', chosenAtMs: 2000 });
    const last = choice({ setId: 'scte-40', chosenAtMs: 2000 });
    expect(limitSetFor(outlet, { fleet: [], site: [newer, older] }).id).toBe('federal-guide');
    expect(limitSetFor(outlet, { fleet: [], site: [last, newer, older] }).id).toBe('scte-40');
  });

  test('applies changes with the reason as their source', () => {
    const site = [
      choice({ changes: [{ quantity: 'level', min: 5, max: 10 }], reason: 'long drops on floor 9' }),
    ];
    const set = limitSetFor(outlet, { fleet: [], site });
    const level = limitFor(set, 'level', 'qam256')!;
    expect(level).toMatchObject({ min: 5, max: 10, unit: 'dBmV', effect: 'service', sureness: 'own' });
    expect(describeSource(level)).toBe('set here: long drops on floor 9');
    expect(limitFor(set, 'adjacent', null)).toMatchObject({ max: 3, sureness: 'read' });
    expect(set.choice?.reason).toBe('long drops on floor 9');
  });

  test('a change without a modulation takes the place of all limits on the quantity', () => {
    const site = [choice({ setId: 'scte-40', changes: [{ quantity: 'mer', min: 35 }] })];
    const set = limitSetFor(outlet, { fleet: [], site });
    expect(qualityFloor(set, 'qam64')?.min).toBe(35);
    expect(qualityFloor(set, 'qam256')?.min).toBe(35);
    expect(qualityFloor(set, 'analogue')?.min).toBe(43);
  });

  test('a change for one modulation leaves the others', () => {
    const site = [
      choice({ setId: 'scte-40', changes: [{ quantity: 'mer', modulation: 'qam256', min: 36 }] }),
    ];
    const set = limitSetFor(outlet, { fleet: [], site });
    expect(qualityFloor(set, 'qam256')?.min).toBe(36);
    expect(qualityFloor(set, 'qam64')?.min).toBe(27);
  });

  test('a change without sides lifts the limit', () => {
    const site = [choice({ changes: [{ quantity: 'level', min: null, max: null }] })];
    const level = limitFor(limitSetFor(outlet, { fleet: [], site }), 'level', 'qam64');
    expect([level?.min, level?.max]).toEqual([undefined, undefined]);
  });

  test('names a set that does not exist', () => {
    const fleet = [choice({ setId: 'no-such' })];
    expect(() => limitSetFor(outlet, { fleet, site: [] })).toThrow('there is no limit set "no-such"');
  });
});
