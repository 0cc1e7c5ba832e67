import { expect, test } from 'vitest';
import { PRACTICAL_FLOOR_DB } from '../../../api/diagnosis/practicalFloor.ts';
import { federalGuide } from '../../../api/limits/sets/federalGuide.ts';

test('the practical floor is the federal guide’s stability over one hour', () => {
  // tests/api/limits holds the set itself against the published table.
  const stability = federalGuide.limits.find(({ quantity }) => quantity === 'stability-1h');
  expect(PRACTICAL_FLOOR_DB).toBe(stability?.max);
});
