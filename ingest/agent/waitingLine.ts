import { countOf } from '../probe/countOf.ts';

/** How much is unsent, for a person. */
export function waitingLine(sweeps: number): string {
  return `${countOf(sweeps, 'sweep waits', 'sweeps wait')} in the spool`;
}
