import type { z } from 'zod';
import type { SurenessSchema } from '../../../../api/schemas/foundPlan.ts';

export const SURENESS_WORD: Readonly<Record<z.infer<typeof SurenessSchema>, string>> = {
  sure: 'sure',
  likely: 'likely',
  guess: 'a guess',
};
