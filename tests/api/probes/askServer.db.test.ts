import { setTimeout as sleep } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { claimDue } from '../../../api/probes/claimDue.ts';
import { finishRun } from '../../../api/probes/finishRun.ts';
import { askServer } from '../../../api/probes/now/askServer.ts';
import { ORIGIN, withApp } from '../../support/testApp.ts';
import { givenScheduledProbe } from './givenProbe.ts';

const levelkeep = withApp();
const fetched = ((address: string, init: RequestInit) =>
  levelkeep.app.request(address, init)) as typeof fetch;

test('a reading asked for from the command line is answered by the run that it caused', async () => {
  const { db, tokens } = levelkeep;
  const { siteId, probeId } = await givenScheduledProbe(db, Date.now());
  const request = { url: ORIGIN, token: tokens.technician, siteId, probeId };
  const answer = askServer(request, fetched, 20);
  await sleep(100);
  const [claimed] = await claimDue(db, { limit: 1, by: 'test', nowMs: Date.now() });
  await finishRun(db, claimed!, { outcome: 'read', sweeps: 1, told: '24 channels' }, Date.now());
  expect(await answer).toMatchObject({ outcome: 'read', told: '24 channels', askedBy: 'technician token' });
});

test('a token that may not is refused in words', async () => {
  const { siteId, probeId } = await givenScheduledProbe(levelkeep.db, Date.now());
  const request = { url: ORIGIN, token: levelkeep.tokens.viewer, siteId, probeId };
  await expect(askServer(request, fetched, 20)).rejects.toThrow('this needs the role technician');
});
