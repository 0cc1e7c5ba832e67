import { z } from '@hono/zod-openapi';
import { CAUSE_IDS, CAUTION_IDS } from '../diagnosis/causes/cause.ts';

export const CautionIdSchema = z.enum(CAUTION_IDS);
export type CautionId = z.infer<typeof CautionIdSchema>;

/** One probable cause of a finding, with what speaks for it and what to do about it. */
export const CauseSchema = z.object({
  cause: z.enum(CAUSE_IDS),
  title: z.string(),
  /** 0 to 1; those of one finding add up to 1 at most. */
  confidence: z.number(),
  evidence: z.array(z.string()),
  check: z.array(z.string()),
  bring: z.array(z.string()),
  cautions: z.array(CautionIdSchema),
});
export type CauseView = z.infer<typeof CauseSchema>;
