import { readFileSync } from 'node:fs';
import { setTimeout as sleep } from 'node:timers/promises';
import { countOf } from '../probe/countOf.ts';
import { EXIT_CODES, ProbeError } from '../probe/probeError.ts';
import type { Agent } from './openAgent.ts';
import { readingLines } from './readingLines.ts';
import { unlessFull } from './spool/isDiskFull.ts';
import type { Wish } from './spool/wishes.ts';
import { type StatusFacts, statusOf, writeStatus } from './status.ts';
import { waitingLine } from './waitingLine.ts';

const TICK_MS = 500;
const ANCHOR_EACH_MS = 60_000;
/** How often an idle sender looks into the spool, and a waiting one at the key. */
const LOOK_MS = 2_000;
const VERSION = programVersion();

/** Reads and sends until the signal aborts; what is unsent then stays in the spool. */
export async function runAgent(
  agent: Agent,
  say: (line: string) => void,
  signal: AbortSignal,
): Promise<void> {
  unlessFull(() => agent.wishes.forget());
  const { wallMs: startedMs } = agent.clock.read();
  const facts = () => factsOf(agent, startedMs);
  const status = createStatusWriter(agent, facts, say);
  status.write();
  await Promise.all([
    watch(agent, status, signal),
    sendAll(agent, status, signal),
    beatAll(agent, facts, signal),
  ]);
  await agent.runner.idle();
  status.write();
  const waiting = agent.disk.counts().waiting;
  say(waiting === 0 ? 'stopped; nothing is unsent' : `stopped; ${waitingLine(waiting)}`);
  const lost = agent.memory.counts().waiting;
  if (lost > 0) say(`lost, as the full disk did not take them: ${countOf(lost, 'sweep')}`);
}

interface StatusWriter {
  write(): void;
}

async function watch(agent: Agent, status: StatusWriter, signal: AbortSignal): Promise<void> {
  let anchoredMs = Number.NEGATIVE_INFINITY;
  let before = '';
  while (!signal.aborted) {
    agent.runner.tick(signal);
    unlessFull(() => {
      agent.mendTimes();
      agent.intake.moveToDisk();
      for (const wish of agent.wishes.take()) void grant(agent, wish);
      const now = agent.clock.read();
      if (now.uptimeMs - anchoredMs < ANCHOR_EACH_MS) return;
      agent.disk.setAnchor(now);
      anchoredMs = now.uptimeMs;
    });
    const now = changeMark(agent);
    if (now !== before) status.write();
    before = now;
    await sleep(TICK_MS, undefined, { signal }).catch(() => {});
  }
}

async function sendAll(agent: Agent, status: StatusWriter, signal: AbortSignal): Promise<void> {
  while (!signal.aborted) {
    try {
      const pauseMs = await agent.sender.sendBatch(signal);
      status.write();
      if (pauseMs !== 0) await restBeforeSending(agent, pauseMs ?? LOOK_MS, signal);
    } catch (error) {
      if (!signal.aborted) throw error;
    }
  }
}

/** Heartbeats have a connection of their own, so that none keeps a sweep waiting. */
async function beatAll(agent: Agent, facts: () => StatusFacts, signal: AbortSignal): Promise<void> {
  while (!signal.aborted) {
    try {
      await agent.heartbeat.beat(() => statusOf(facts()), batchMark(agent), signal);
      await sleep(LOOK_MS, undefined, { signal });
    } catch (error) {
      if (!signal.aborted) throw error;
    }
  }
}

/** Changes with each batch and each trouble: what the server should hear of before the next few minutes are over. */
function batchMark({ sender, runner, clockState, intake }: Agent): string {
  const troubles = runner.states.map(({ lastError }) => lastError?.message ?? null);
  const { lastSuccessMs, lastError } = sender.state;
  return JSON.stringify([
    lastSuccessMs,
    lastError?.error.message,
    troubles,
    clockState.lastCorrection,
    intake.isDiskFull,
  ]);
}

/** A pause that ends early when the person puts another key in place. */
async function restBeforeSending({ config }: Agent, pauseMs: number, signal: AbortSignal): Promise<void> {
  const keyBefore = keyOrNull(config);
  for (let restMs = pauseMs; restMs > 0; restMs -= LOOK_MS) {
    await sleep(Math.min(restMs, LOOK_MS), undefined, { signal });
    if (keyOrNull(config) !== keyBefore) return;
  }
}

function keyOrNull({ readKey }: Agent['config']): string | null {
  try {
    return readKey();
  } catch {
    return null;
  }
}

/** Takes the reading that somebody asked for and answers in lines for a person. */
async function grant({ runner, wishes }: Agent, { id, point }: Wish): Promise<void> {
  const states = runner.states.filter(({ probe }) => probe.point === point);
  try {
    const takings = await Promise.all(states.map((state) => runner.readNow(state)));
    const told = takings.flatMap((taking) => readingLines(point, taking)).join('\n');
    wishes.answer(id, { exitCode: 0, told: `${told}\nthe running agent sends it` });
  } catch (error) {
    const isKnown = error instanceof ProbeError;
    const told = isKnown ? `${error.message}\n→ ${error.action}` : String(error);
    unlessFull(() => wishes.answer(id, { exitCode: isKnown ? EXIT_CODES[error.kind] : 1, told }));
  }
}

/** All that status.json tells and that may change without a batch being sent. */
function changeMark({ runner, clockState, intake }: Agent): string {
  const probes = runner.states.map(({ probe: _, ...state }) => state);
  return JSON.stringify([probes, clockState, intake.isDiskFull]);
}

function factsOf(agent: Agent, startedMs: number): StatusFacts {
  const { config, clock, clockState, disk, memory, intake, sender, runner } = agent;
  return {
    version: VERSION,
    agent: config.agent,
    startedMs,
    nowMs: clock.read().wallMs,
    counts: disk.counts(),
    limitBytes: config.spool.limit,
    inMemory: memory.counts().waiting,
    isDiskFull: intake.isDiskFull,
    thinned: disk.thinned(),
    ...clockState,
    sending: sender.state,
    probes: runner.states,
  };
}

function createStatusWriter(
  { config }: Agent,
  facts: () => StatusFacts,
  say: (line: string) => void,
): StatusWriter {
  let isToldOf = false;
  return {
    write() {
      try {
        writeStatus(config.spool.folder, statusOf(facts()));
        isToldOf = false;
      } catch (error) {
        if (!isToldOf) say(`status.json can’t be written: ${error instanceof Error ? error.message : error}`);
        isToldOf = true;
      }
    },
  };
}

function programVersion(): string {
  const file = new URL('../../package.json', import.meta.url);
  return (JSON.parse(readFileSync(file, 'utf8')) as { version: string }).version;
}
