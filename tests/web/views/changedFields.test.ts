import { expect, test } from 'vitest';
import { changedFields } from '../../../web/views/setup/audit/changedFields.ts';

test('only fields that differ are shown, with an en dash for what is not there', () => {
  const before = { label: 'floor 3', outlets: 12, hopNote: '' };
  const after = { label: 'floor 3', outlets: 16, hopNote: 'riser' };
  expect(changedFields(before, after)).toEqual([
    { name: 'outlets', before: '12', after: '16' },
    { name: 'hopNote', before: '–', after: 'riser' },
  ]);
  expect(changedFields(null, { role: 'viewer' })).toEqual([{ name: 'role', before: '–', after: 'viewer' }]);
});

test('a long value is cut', () => {
  const [field] = changedFields(null, { channels: Array.from({ length: 200 }, (_, i) => i) });
  expect(field!.after).toHaveLength(301);
});
