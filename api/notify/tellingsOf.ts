import type { Severity } from '../../ingest/store/schema.ts';
import { type AlertStory, type ChangeFact, severityRank } from './alertFact.ts';
import { isAbout } from './isAbout.ts';
import type { Rule } from './rule.ts';
import { type Standing, standings } from './standing.ts';

/** One thing to tell one target. The first four fields name it: it is told once, whenever and however often it is worked out. */
export interface Telling {
  readonly ruleId: number;
  readonly changeId: number;
  readonly targetId: number;
  readonly step: number;
  readonly alertId: number;
  /** The change that opened the episode that is told of. */
  readonly openingId: number;
  readonly what: 'open' | 'worse' | 'returned';
  readonly dueMs: number;
}

export interface TellingContext {
  readonly untilMs: number;
  /** Names, as {@link tellingKey} gives them, of what was made earlier. */
  readonly made: ReadonlySet<string>;
  /** From when on fewer days were left than the rule asks for; null while that isn't so. Rules that ask nothing of it give 0. */
  readonly nearFromMs: number | null;
}

const MINUTE_MS = 60_000;

export function tellingKey(telling: Pick<Telling, 'ruleId' | 'changeId' | 'targetId' | 'step'>): string {
  return [telling.ruleId, telling.changeId, telling.targetId, telling.step].join(' ');
}

/**
 * All that `rule` has to tell of one alert up to `untilMs`, oldest first, what was made earlier included. It depends on the history
 * alone: the live run and the preview of a rule ask the same question.
 */
export function tellingsOf(rule: Rule, story: AlertStory, context: TellingContext): Telling[] {
  const found = new Map<string, Telling>();
  const add = (telling: Telling) => {
    if (telling.dueMs <= context.untilMs && !found.has(tellingKey(telling)))
      found.set(tellingKey(telling), telling);
  };
  for (const run of openRuns(rule, story, context)) {
    for (const telling of stepsOf(rule, story, run, context)) add(telling);
  }
  for (const telling of sequels(rule, story, [...found.values()])) add(telling);
  return [...found.values()].sort((a, b) => a.dueMs - b.dueMs || a.changeId - b.changeId);
}

/** A time through which the alert was open, unacknowledged, not held, and what the rule is about. */
interface Run {
  readonly openingId: number;
  readonly fromMs: number;
  readonly toMs: number;
}

function openRuns(rule: Rule, { alert, changes }: AlertStory, context: TellingContext): Run[] {
  const { nearFromMs } = context;
  if (nearFromMs === null) return [];
  const told = (standing: Standing, severity: Severity) =>
    standing.active && !standing.acknowledged && !standing.held && isAbout(rule.about, alert, severity);
  const runs: Run[] = [];
  let open: Omit<Run, 'toMs'> | null = null;
  const after = standings(changes);
  for (const [index, standing] of after.entries()) {
    const { atMs } = changes[index]!;
    const goesOn = standing.openingId !== null && told(standing, standing.severity ?? alert.severity);
    if (open && (!goesOn || open.openingId !== standing.openingId)) {
      runs.push({ ...open, toMs: atMs });
      open = null;
    }
    if (goesOn) open ??= { openingId: standing.openingId!, fromMs: Math.max(atMs, nearFromMs) };
  }
  if (open) runs.push({ ...open, toMs: Number.POSITIVE_INFINITY });
  return runs;
}

function stepsOf(rule: Rule, { alert }: AlertStory, run: Run, { made }: TellingContext): Telling[] {
  const all = rule.steps.flatMap(({ afterMin, targetIds }, step) =>
    targetIds.map((targetId): Telling => {
      const dueMs = run.fromMs + (rule.delayMin + afterMin) * MINUTE_MS;
      const { openingId } = run;
      return {
        ruleId: rule.ruleId,
        changeId: openingId,
        targetId,
        step,
        alertId: alert.alertId,
        openingId,
        what: 'open',
        dueMs,
      };
    }),
  );
  const begun = run.fromMs >= rule.sinceMs || all.some((telling) => made.has(tellingKey(telling)));
  return begun ? all.filter(({ dueMs }) => dueMs < run.toMs) : [];
}

/** What follows once somebody was told that an alert is open: that it got worse, that it returned. */
function sequels(rule: Rule, { changes }: AlertStory, opened: readonly Telling[]): Telling[] {
  const found: Telling[] = [];
  const after = standings(changes);
  const worst = new Map<number, number>();
  for (const [index, change] of changes.entries()) {
    const standing = after[index]!;
    const told = opened.filter(
      ({ openingId, dueMs }) => openingId === standing.openingId && dueMs < change.atMs,
    );
    const tell = (what: Telling['what'], to: readonly Telling[]) => {
      for (const targetId of new Set(to.map((telling) => telling.targetId))) {
        const step = Math.min(...to.filter((telling) => telling.targetId === targetId).map((t) => t.step));
        found.push({ ...to[0]!, targetId, step, changeId: change.changeId, what, dueMs: change.atMs });
      }
    };
    if (worsened(change, standing, worst) && rule.tellsWorse && !standing.held) tell('worse', told);
    if (isReturn(change, after[index - 1]) && rule.tellsReturn && !standing.held) tell('returned', told);
  }
  return found;
}

/** Whether the change makes the alert worse than it has been in this episode. */
function worsened(change: ChangeFact, standing: Standing, worst: Map<number, number>): boolean {
  if (standing.openingId === null || standing.severity === null) return false;
  const rank = severityRank(standing.severity);
  const before = worst.get(standing.openingId);
  worst.set(standing.openingId, Math.max(rank, before ?? 0));
  return change.kind === 'severity' && standing.active && before !== undefined && rank > before;
}

function isReturn(change: ChangeFact, before: Standing | undefined): boolean {
  return (change.kind === 'returned' || change.kind === 'closed') && before?.active === true;
}
