import type { Limit } from './limitSet.ts';

/** Where a limit comes from, in the words shown to people: never a quotation of a text that wasn't open. */
export function describeSource({ source, sureness }: Pick<Limit, 'source' | 'sureness'>): string {
  switch (sureness) {
    case 'read':
      return source;
    case 'quoted':
      return `${source}, as quoted elsewhere`;
    case 'after':
      return `after ${source}, to be confirmed against the current text`;
    case 'practice':
      return `common practice, no source (${source})`;
    case 'own':
      return `set here: ${source}`;
  }
}
