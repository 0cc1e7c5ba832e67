import type { EvaluateOptions } from './options.ts';
import type { CaseResult } from './runCase.ts';
import type { QuietResult } from './runQuiet.ts';
import { runTasks } from './runTasks.ts';
import { tasksOf } from './tasks.ts';

export interface Evaluation {
  readonly cases: readonly CaseResult[];
  readonly quiet: readonly QuietResult[];
}

/** Runs the evaluation; the same options always give the same figures, on however many threads. */
export async function evaluate(
  options: EvaluateOptions,
  tellProgress: (done: number, of: number) => void,
): Promise<Evaluation> {
  const tasks = tasksOf(options);
  const results = await runTasks(tasks, options.workers, (done) => tellProgress(done, tasks.length));
  return {
    cases: results.flatMap((each) => (each.kind === 'case' ? [each.result] : [])),
    quiet: results.flatMap((each) => (each.kind === 'quiet' ? [each.result] : [])),
  };
}
