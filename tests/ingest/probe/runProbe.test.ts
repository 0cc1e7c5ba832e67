import { expect, test } from 'vitest';
import type { ContractSweep } from '../../../ingest/probe/contractSweep.ts';
import { ProbeError } from '../../../ingest/probe/probeError.ts';
import { type ProbeDeps, runEvery, runOnce } from '../../../ingest/probe/runProbe.ts';
import type { IngestAnswer } from '../../../ingest/probe/sendSweeps.ts';
import type { Sweep } from '../../../ingest/sweep.ts';

const away = () => new ProbeError('unavailable', 'the server is away', 'wait', { retryAfterMs: 1 });
const allTaken = (sweeps: readonly ContractSweep[]): IngestAnswer => ({
  accepted: sweeps.length,
  duplicates: 0,
  rejected: [],
});

/** Deps whose n-th reading is at n s after 1970, and whose n-th send goes through the n-th of `answers`. */
function setUp(answers: ((sweeps: readonly ContractSweep[]) => IngestAnswer)[]) {
  const lines: string[] = [];
  const sent: string[][] = [];
  const stop = new AbortController();
  let read = 0;
  const deps: ProbeDeps = {
    point: 'handoff',
    say: (line) => lines.push(line),
    driver: {
      read: async () => {
        read += 1;
        return sweepAt(read * 1_000);
      },
    },
    send: async (sweeps) => {
      sent.push(sweeps.map(({ at }) => at.slice(17, 19)));
      const answer = answers[sent.length - 1];
      if (sent.length >= answers.length) stop.abort();
      if (answer === undefined) throw new Error('one send too many');
      return answer(sweeps);
    },
  };
  return { deps, lines, sent, stop };
}

function sweepAt(atMs: number): Sweep {
  return {
    atMs,
    instrument: 'probe-7',
    ambientC: 21.5,
    freqMhz: [57, 63],
    levelDbmv: [20.1, null],
    merDb: [41.2, null],
    cnrDb: null,
    berPre: null,
    berPost: null,
    lostMhz: [69],
  };
}

test('one sweep goes out as the contract has it', async () => {
  const out: unknown[] = [];
  const { deps, lines, stop } = setUp([
    (sweeps) => {
      out.push(...sweeps);
      return allTaken(sweeps);
    },
  ]);
  await runOnce(deps, new AbortController().signal);
  expect(out).toEqual([
    {
      point: 'handoff',
      at: '1970-01-01T00:00:01.000Z',
      instrument: 'probe-7',
      ambient_c: 21.5,
      freq_mhz: [57, 63],
      level_dbmv: [20.1, null],
      mer_db: [41.2, null],
      lost: [69],
    },
  ]);
  expect(lines).toEqual(['1 accepted for handoff, newest 1970-01-01T00:00:01.000Z, 2 channels']);
  expect(stop.signal.aborted).toBe(true);
});

test('a server that is away is tried again with the same sweep, three times in all', async () => {
  const { deps, sent } = setUp([fail(away), fail(away), allTaken]);
  await runOnce(deps, new AbortController().signal, [1, 1]);
  expect(sent).toEqual([['01'], ['01'], ['01']]);

  const gone = setUp([fail(away), fail(away), fail(away)]);
  await expect(runOnce(gone.deps, new AbortController().signal, [1, 1])).rejects.toMatchObject({
    kind: 'unavailable',
  });
});

test('a refusal is not tried again', async () => {
  const { deps, sent } = setUp([
    fail(() => new ProbeError('refused', 'the key is unknown', 'get another')),
    allTaken,
  ]);
  await expect(runOnce(deps, new AbortController().signal)).rejects.toMatchObject({ kind: 'refused' });
  expect(sent).toHaveLength(1);
});

test('a rejected sweep is a refusal that says what to mend', async () => {
  const reject = (path: string) => (): IngestAnswer => ({
    accepted: 0,
    duplicates: 0,
    rejected: [{ index: 0, path, reason: 'is unknown' }],
  });
  const signal = new AbortController().signal;
  await expect(runOnce(setUp([reject('point')]).deps, signal)).rejects.toMatchObject({
    kind: 'refused',
    message: 'the server rejected the sweep of 1970-01-01T00:00:01.000Z: point: is unknown',
    action: expect.stringContaining('--point'),
  });
  await expect(runOnce(setUp([reject('sweeps.0.at')]).deps, signal)).rejects.toMatchObject({
    action: expect.stringContaining('clock'),
  });
});

test('what could not be sent waits and goes along with the next sweep', async () => {
  const { deps, lines, sent, stop } = setUp([fail(away), fail(away), allTaken]);
  await runEvery(deps, 5, stop.signal);
  expect(sent).toEqual([['01'], ['01', '02'], ['01', '02', '03']]);
  expect(lines).toContain('2 unsent, kept in memory');
  expect(lines.at(-1)).toContain('3 accepted');
});

test('a failed reading is told and the next one comes all the same', async () => {
  const { deps, lines, sent, stop } = setUp([allTaken]);
  let reads = 0;
  const driver = {
    read: async (signal: AbortSignal) => {
      reads += 1;
      if (reads === 1) throw new ProbeError('instrument', 'the modem is silent', 'look at its plug');
      return deps.driver.read(signal);
    },
  };
  await runEvery({ ...deps, driver }, 5, stop.signal);
  expect(lines[0]).toBe('the modem is silent: look at its plug');
  expect(sent).toHaveLength(1);
});

test('sweeps that are unsent at the end are told', async () => {
  const { deps, lines, stop } = setUp([fail(away), fail(away)]);
  await runEvery(deps, 5, stop.signal);
  expect(lines.at(-1)).toBe('stopped; 2 unsent and lost with this process');
});

test('a rejected sweep is told and does not block the ones after it', async () => {
  const { deps, lines, sent, stop } = setUp([
    () => ({ accepted: 0, duplicates: 0, rejected: [{ index: 0, path: 'point', reason: 'is unknown' }] }),
    allTaken,
  ]);
  await runEvery(deps, 5, stop.signal);
  expect(sent).toEqual([['01'], ['02']]);
  expect(lines[0]).toContain('point: is unknown');
});

test('a refused key ends the run', async () => {
  const { deps } = setUp([fail(() => new ProbeError('refused', 'the key is unknown', 'get another'))]);
  await expect(runEvery(deps, 5, new AbortController().signal)).rejects.toMatchObject({ kind: 'refused' });
});

function fail(error: () => ProbeError): () => IngestAnswer {
  return () => {
    throw error();
  };
}
