import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { countOf } from '../probe/countOf.ts';
import { EXIT_CODES, ProbeError } from '../probe/probeError.ts';
import { checkLines } from './checkConfig.ts';
import { createAgentClock, machineTime } from './clock.ts';
import { type AgentConfig, readConfig } from './config/readConfig.ts';
import type { FolderProbe } from './config/schema.ts';
import { createProbes } from './createProbes.ts';
import { previewMapped, previewRaw } from './folder/preview.ts';
import { type Agent, openAgent } from './openAgent.ts';
import { type AgentTask, parseAgentTask } from './options.ts';
import { readingLines } from './readingLines.ts';
import { runAgent } from './runAgent.ts';
import { isDiskFull } from './spool/isDiskFull.ts';
import { lockSpool } from './spool/lock.ts';
import { openSpoolDatabase } from './spool/openSpoolDatabase.ts';
import { USAGE } from './usage.ts';
import { waitingLine } from './waitingLine.ts';

/** What a shell reports for a program ended by Ctrl+C. */
const EXIT_INTERRUPTED = 130;
/** A running agent looks for wishes twice a second; the rest is the reading's own time-out. */
const ANSWER_POLL_MS = 200;
const ANSWER_GRACE_MS = 30_000;

const say = (line: string) => console.error(line);
const stop = new AbortController();
process.once('SIGINT', () => stop.abort());
process.once('SIGTERM', () => stop.abort());

try {
  await run(parseAgentTask(process.argv.slice(2)), stop.signal);
} catch (error) {
  process.exitCode = stop.signal.aborted ? EXIT_INTERRUPTED : fail(error);
}

async function run(task: AgentTask, signal: AbortSignal): Promise<void> {
  if (task.kind === 'help') return console.log(USAGE);
  if (task.kind === 'preview') return preview(task);

  const config = readConfig(task.config, process.env);
  for (const warning of config.warnings) say(`caution: ${warning}`);
  if (task.kind === 'check') return check(config);
  config.readKey();

  const isOurs = lockSpool(config.spool.folder);
  if (!isOurs && task.kind === 'run') {
    throw new ProbeError(
      'usage',
      `another agent uses the spool folder ${config.spool.folder}`,
      'stop it, or give this one a spool.folder of its own',
    );
  }
  const database = openSpoolDatabase(config.spool.folder, say);
  const agent = openAgent({ config, database, time: machineTime, random: Math.random, say });
  try {
    if (task.kind === 'run') await runAgent(agent, say, signal);
    else if (task.kind === 'resend') sayReturned(agent.disk.returnRefused());
    else await (isOurs ? readNow : askToRead)(agent, task.point, signal);
  } finally {
    database.close();
  }
}

function sayReturned(sweeps: number): void {
  say(`${countOf(sweeps, 'sweep is', 'sweeps are')} back in the queue`);
}

function check(config: AgentConfig): void {
  config.readKey();
  const clock = createAgentClock(machineTime, null, () => {});
  for (const line of checkLines(config, createProbes(config, clock, say), Date.now())) console.log(line);
}

/** One reading of a point by this process, and all that waits sent once. */
async function readNow(agent: Agent, point: string, signal: AbortSignal): Promise<void> {
  const probes = probesAt(agent, point);
  for (const { probe } of probes) {
    const ended = AbortSignal.any([signal, AbortSignal.timeout(probe.timeoutMs)]);
    const taking = await probe.source.read(ended);
    agent.intake.add(point, taking.readings);
    await taking.settle();
    for (const line of readingLines(point, taking)) console.log(line);
  }
  const refusedBefore = agent.disk.counts().refused;
  let pauseMs = await agent.sender.sendBatch(signal);
  while (pauseMs === 0) pauseMs = await agent.sender.sendBatch(signal);
  const { lastError } = agent.sender.state;
  if (pauseMs !== null && lastError !== null) {
    const { message, action, kind } = lastError.error;
    throw new ProbeError(kind, `${message}; ${waitingLine(agent.disk.counts().waiting)}`, action);
  }
  if (agent.disk.counts().refused > refusedBefore) {
    throw new ProbeError(
      'refused',
      'the server rejected a sweep',
      'mend what it names, then --resend-refused',
    );
  }
}

/** Leaves a wish for the agent that runs on this spool, and waits for what it says. */
async function askToRead(agent: Agent, point: string, signal: AbortSignal): Promise<void> {
  const probes = probesAt(agent, point);
  const id = agent.wishes.ask(point);
  const waitMs = ANSWER_GRACE_MS + Math.max(...probes.map(({ probe }) => probe.timeoutMs + probe.floorMs));
  for (let waitedMs = 0; waitedMs < waitMs; waitedMs += ANSWER_POLL_MS) {
    await sleep(ANSWER_POLL_MS, undefined, { signal });
    const answer = agent.wishes.answerTo(id);
    if (answer === null) continue;
    (answer.exitCode === 0 ? console.log : say)(answer.told);
    process.exitCode = answer.exitCode;
    return;
  }
  throw new ProbeError(
    'instrument',
    'the running agent gave no answer',
    'look at its log and its status.json',
  );
}

function probesAt({ runner }: Agent, point: string): Agent['runner']['states'] {
  const states = runner.states.filter(({ probe }) => probe.point === point);
  if (states.length > 0) return states;
  const known = [...new Set(runner.states.map(({ probe }) => probe.point))].join(', ');
  throw new ProbeError('usage', `--read-now: no probe stands at “${point}”`, `the config has ${known}`);
}

function preview({
  config: configFile,
  file,
  point,
  skipLines,
}: Extract<AgentTask, { kind: 'preview' }>): void {
  try {
    const config = configFile === null ? null : readConfig(configFile, process.env);
    const probe = config === null ? null : folderProbeFor(config, file, point);
    const isMapped = probe !== null && (probe.mapping !== undefined || probe.format === 'contract');
    const lines =
      isMapped && config !== null
        ? previewMapped(file, { format: probe, instrument: probe.instrument ?? null, zone: config.zone })
        : previewRaw(file, probe?.csv ?? { header: true, skipLines }, probe?.rows);
    for (const line of lines) console.log(line);
  } catch (error) {
    if (error instanceof ProbeError || !(error instanceof Error)) throw error;
    throw new ProbeError(
      'instrument',
      `${file}: ${error.message}`,
      'mend the file, or the mapping in the config',
    );
  }
}

/** The probe of the point that was named, else of the folder that the file lies in, else the only one. */
function folderProbeFor(config: AgentConfig, file: string, point: string | null): FolderProbe {
  const probes = config.probes.filter((probe) => probe.driver === 'folder');
  const fitting = probes.filter((probe) => point === null || probe.point === point);
  const lies = path.dirname(path.resolve(file));
  const found = fitting.find(({ folder }) => path.resolve(config.home, folder) === lies) ?? fitting[0];
  if (found !== undefined && (fitting.length === 1 || point !== null || probes.length === 1)) return found;
  if (found !== undefined && path.resolve(config.home, found.folder) === lies) return found;
  throw new ProbeError(
    'usage',
    point === null
      ? '--preview: several points have folders, or none has'
      : `--preview: no folder probe stands at “${point}”`,
    'say whose mapping by --point, or leave --config out to see the columns',
  );
}

function fail(error: unknown): number {
  if (isDiskFull(error)) {
    return fail(
      new ProbeError('unavailable', 'the disk of the spool takes nothing', 'make room, then try again'),
    );
  }
  if (!(error instanceof ProbeError)) {
    console.error(error);
    return 1;
  }
  console.error(`${error.message}\n→ ${error.action}`);
  return EXIT_CODES[error.kind];
}
