import { expect, test } from 'vitest';
import { matchRoute } from '../../web/router.ts';
import { safeNext } from '../../web/views/door/safeNext.ts';

test('addresses name their pages', () => {
  expect(matchRoute('/')).toEqual({ view: 'fleet' });
  expect(matchRoute('/sites/12')).toEqual({ view: 'site', siteId: 12, pointId: null });
  expect(matchRoute('/sites/12/points/3')).toEqual({ view: 'site', siteId: 12, pointId: 3 });
  expect(matchRoute('/setup/new-site')).toEqual({ view: 'setup-guide', siteId: null });
  expect(matchRoute('/probes')).toEqual({ view: 'probes' });
  expect(matchRoute('/sites/12/probes/3')).toEqual({ view: 'probe', siteId: 12, probeId: 3 });
  expect(matchRoute('/sites/12/points/3/readings/new')).toEqual({
    view: 'type-readings',
    siteId: 12,
    pointId: 3,
  });
  expect(matchRoute('/sites/12/points/3/readings/live')).toEqual({
    view: 'live-readings',
    siteId: 12,
    pointId: 3,
  });
  expect(matchRoute('/setup/sites/12/points/3/baseline')).toEqual({
    view: 'setup-baseline',
    siteId: 12,
    pointId: 3,
  });
});

test('anything else is no page', () => {
  for (const path of ['/sites/x', '/sites/1/', '/setup/plans/1/2', '/SITES/1']) {
    expect(matchRoute(path)).toEqual({ view: 'unknown' });
  }
});

test('signing in leads to pages of this site only', () => {
  expect(safeNext('/sites/4?x=1')).toBe('/sites/4?x=1');
  for (const next of [
    null,
    '',
    'https://elsewhere.test',
    '//elsewhere.test',
    '/\\elsewhere.test',
    '/sign-in',
  ]) {
    expect(safeNext(next)).toBe('/');
  }
});
