import { parentPort } from 'node:worker_threads';
import { runTask, type Task } from './tasks.ts';

parentPort!.on('message', (task: Task) => parentPort!.postMessage(runTask(task)));
