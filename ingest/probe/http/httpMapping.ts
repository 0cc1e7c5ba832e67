import { z } from 'zod';
import { columnTime, mappingSchema } from '../../agent/config/mapping.ts';

const time = z.discriminatedUnion(
  'from',
  [
    columnTime,
    /** The moment at which the instrument was asked. */
    z.strictObject({ from: z.literal('reading') }),
  ],
  { error: () => 'give {"from": "reading"} or {"from": "column", …}' },
);

/** What the fields of an instrument's records mean: as for a meter's file, except where the time comes from. */
export const httpMappingSchema = mappingSchema.extend({ time: time.prefault({ from: 'reading' }) });
export type HttpMapping = z.output<typeof httpMappingSchema>;
