import { Cron } from 'croner';

/** What is wrong with a cron expression of five fields; null when nothing is. */
export function cronFault(expression: string): string | null {
  try {
    new Cron(expression, { paused: true, mode: '5-part' });
    return null;
  } catch (error) {
    return error instanceof Error ? error.message.replace(/^CronPattern: /, '') : String(error);
  }
}
