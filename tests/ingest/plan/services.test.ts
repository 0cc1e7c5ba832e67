import { describe, expect, test } from 'vitest';
import { findServices } from '../../../ingest/plan/findServices.ts';
import { servicesOnChannel } from '../../../ingest/plan/servicesOnChannel.ts';
import { channel, planVersion } from './planVersions.ts';

const older = planVersion(1, 1000, [
  channel('78', 555, 'qam256', {
    services: [
      { number: '7.1', name: 'Harbour News' },
      { number: '7', name: 'Harbour' },
    ],
  }),
]);
const newer = planVersion(2, 2000, [
  channel('80', 567, 'qam256', { services: [{ number: '7', name: 'Harbour' }] }),
  channel('81', 573, 'qam256', { services: [{ number: '702', name: 'Evening NEWS' }] }),
]);
const found = (text: string): string[] =>
  findServices([older, newer], text).map(
    ({ version, channel, service }) => `v${version} ${channel.channel} ${service.number}`,
  );

describe('findServices', () => {
  test('leads from a number that viewers dial to the RF channel, exact ones first and the newest version first', () => {
    expect(found('7')).toEqual(['v2 80 7', 'v1 78 7', 'v2 81 702', 'v1 78 7.1']);
    expect(found('7.1')).toEqual(['v1 78 7.1']);
  });

  test('finds names whatever their case', () => {
    expect(found(' news ')).toEqual(['v2 81 702', 'v1 78 7.1']);
  });

  test('finds nothing for a blank text or an unknown one', () => {
    expect(found('  ')).toEqual([]);
    expect(found('88')).toEqual([]);
  });
});

describe('servicesOnChannel', () => {
  test('leads from the RF channel back to what viewers dial', () => {
    expect(servicesOnChannel(older, '78').map(({ number }) => number)).toEqual(['7.1', '7']);
    expect(servicesOnChannel(older, '80')).toEqual([]);
  });
});
