import type { DatabaseSync } from 'node:sqlite';
import { countOf } from '../probe/countOf.ts';
import { sendSweeps } from '../probe/sendSweeps.ts';
import { type AgentClock, type ClockJump, type ClockReading, createAgentClock } from './clock.ts';
import type { AgentConfig } from './config/readConfig.ts';
import { createProbes } from './createProbes.ts';
import { createHeartbeat, sendHeartbeat } from './heartbeat.ts';
import { createIntake } from './intake.ts';
import { createRunner } from './schedule/runner.ts';
import { createSender } from './sender.ts';
import { bootId } from './spool/bootId.ts';
import { isDiskFull } from './spool/isDiskFull.ts';
import { openMemoryDatabase } from './spool/openSpoolDatabase.ts';
import { createSpool } from './spool/spool.ts';
import { createWishes } from './spool/wishes.ts';

export interface AgentDeps {
  readonly config: AgentConfig;
  /** The spool's, from `openSpoolDatabase`; the caller closes it. */
  readonly database: DatabaseSync;
  readonly time: () => ClockReading;
  readonly random: () => number;
  readonly say: (line: string) => void;
}

export type Agent = ReturnType<typeof openAgent>;

/** What the memory may hold while the disk takes nothing. */
const MEMORY_LIMIT_BYTES = 20_000_000;
/** Sweeps are timed to the minute or so; less is nothing to trouble a person with. */
const TOLD_OFFSET_MS = 60_000;

/** Spool, clock, probes, runner and sender of one config, joined; nothing runs yet. */
export function openAgent({ config, database, time, random, say }: AgentDeps) {
  const boot = bootId();
  const memoryDatabase = openMemoryDatabase();
  const disk = createSpool({ database, limitBytes: config.spool.limit, boot, say });
  const memory = createSpool({ database: memoryDatabase, limitBytes: MEMORY_LIMIT_BYTES, boot, say });
  const clockState = {
    serverAheadMs: null as number | null,
    lastCorrection: null as { wallMs: number; deltaMs: number; sweeps: number } | null,
  };
  const unmended: ClockJump[] = [];
  let reschedule = (_wallMs: number) => {};

  const clock = createAgentClock(time, disk.anchor(), (jump) => {
    const direction = jump.deltaMs > 0 ? 'forward' : 'back';
    say(`the clock was set ${direction} by ${Math.abs(jump.deltaMs / 1000).toFixed(1)} s`);
    unmended.push(jump);
    mendTimes();
    reschedule(jump.wallMs);
  });
  const intake = createIntake({ disk, memory, memoryDatabase, say });
  const runner = createRunner({
    probes: createProbes(config, clock, say),
    clock,
    atOnce: config.atOnce,
    keep: (point, { readings }) => intake.add(point, readings),
    say,
    onChange: () => {},
  });
  reschedule = runner.reschedule;

  const { retry } = config.server;
  const sender = createSender({
    spools: [memory, disk],
    send: (sweeps, signal) => {
      const key = config.readKey();
      const onAnswer = (answer: Response) => noteServerTime(answer, clock);
      return sendSweeps({ url: config.url, key, urlGivenBy: 'server.url', onAnswer }, sweeps, signal);
    },
    clock,
    retry: { firstMs: retry.first, mostMs: retry.most, refusedMs: retry.refused },
    random,
    say,
  });

  const heartbeat = createHeartbeat({
    send: (report, signal) =>
      sendHeartbeat({ url: config.url, key: config.readKey(), urlGivenBy: 'server.url' }, report, signal),
    uptimeMs: () => clock.read().uptimeMs,
  });

  return {
    config,
    clock,
    clockState,
    disk,
    memory,
    intake,
    runner,
    sender,
    heartbeat,
    mendTimes,
    wishes: createWishes(database),
  };

  /** Mends the times of what waits, by every jump that is not dealt with yet; a full disk is tried again later. */
  function mendTimes(): void {
    while (unmended[0] !== undefined) {
      const jump = unmended[0];
      try {
        const sweeps = disk.correctTimes(jump);
        memory.correctTimes(jump);
        clockState.lastCorrection = { wallMs: jump.wallMs, deltaMs: jump.deltaMs, sweeps };
        if (sweeps > 0)
          say(
            `${countOf(sweeps, 'unsent sweep was', 'unsent sweeps were')} moved by ${jump.deltaMs / 1000} s; the first times are kept`,
          );
        unmended.shift();
      } catch (error) {
        if (!isDiskFull(error)) throw error;
        return;
      }
    }
  }

  function noteServerTime(answer: Response, { read }: AgentClock): void {
    const serverMs = Date.parse(answer.headers.get('date') ?? '');
    if (Number.isNaN(serverMs)) return;
    // The header has whole seconds, cut off.
    const aheadMs = serverMs + 500 - read().wallMs;
    const before = clockState.serverAheadMs ?? 0;
    clockState.serverAheadMs = aheadMs;
    if (Math.abs(aheadMs) > TOLD_OFFSET_MS && Math.abs(aheadMs - before) > TOLD_OFFSET_MS) {
      say(
        `this machine’s clock is ${Math.round(Math.abs(aheadMs) / 1000)} s ${aheadMs > 0 ? 'behind' : 'ahead of'} the server’s: check its time synchronisation`,
      );
    }
  }
}
