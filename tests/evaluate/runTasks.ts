import { once } from 'node:events';
import { Worker } from 'node:worker_threads';
import { runTask, type Task, type TaskResult } from './tasks.ts';

/** Runs all tasks on `workers` threads, or here for 0; results stand in the order of the tasks. */
export async function runTasks(
  tasks: readonly Task[],
  workers: number,
  tellProgress: (done: number) => void,
): Promise<TaskResult[]> {
  const results = new Array<TaskResult>(tasks.length);
  let [next, done] = [0, 0];
  const keep = (place: number, result: TaskResult) => {
    results[place] = result;
    tellProgress(++done);
  };

  if (workers === 0) {
    tasks.forEach((task, place) => {
      keep(place, runTask(task));
    });
    return results;
  }
  const serve = async () => {
    const worker = new Worker(new URL('./worker.ts', import.meta.url));
    while (next < tasks.length) {
      const place = next++;
      worker.postMessage(tasks[place]);
      const [result] = (await once(worker, 'message')) as [TaskResult];
      keep(place, result);
    }
    await worker.terminate();
  };
  await Promise.all(Array.from({ length: Math.min(workers, tasks.length) }, serve));
  return results;
}
