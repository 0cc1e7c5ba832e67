import { ROWS } from './cases.ts';
import type { EvaluateOptions } from './options.ts';
import { type CaseResult, runCase } from './runCase.ts';
import { type QuietResult, runQuiet } from './runQuiet.ts';
import { SETTINGS, type SettingName } from './settings.ts';

/** One site to simulate; its result depends on nothing else. */
export type Task =
  | {
      readonly kind: 'case';
      readonly seed: number;
      readonly setting: SettingName;
      readonly row: string;
      readonly index: number;
    }
  | {
      readonly kind: 'quiet';
      readonly seed: number;
      readonly setting: SettingName;
      readonly index: number;
      readonly days: number;
    };

export type TaskResult =
  | { readonly kind: 'case'; readonly result: CaseResult }
  | { readonly kind: 'quiet'; readonly result: QuietResult };

/** All sites of an evaluation, the longest first. */
export function tasksOf(options: EvaluateOptions): Task[] {
  const { seed, setting, quietDays: days } = options;
  const places = (count: number) => Array.from({ length: count }, (_, index) => index);
  return [
    ...places(options.quietSites).map((index) => ({ kind: 'quiet' as const, seed, setting, index, days })),
    ...options.rows.flatMap((row) =>
      places(options.sites).map((index) => ({ kind: 'case' as const, seed, setting, row, index })),
    ),
  ];
}

export function runTask(task: Task): TaskResult {
  const setting = SETTINGS[task.setting];
  if (task.kind === 'quiet') {
    return { kind: 'quiet', result: runQuiet(task.seed, task.index, setting, task.days) };
  }
  const row = ROWS.find(({ name }) => name === task.row)!;
  return { kind: 'case', result: runCase(task.seed, row, task.index, setting) };
}
