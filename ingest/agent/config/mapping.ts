import { z } from 'zod';
import { timeTemplateFault } from '../folder/timeTemplate.ts';
import { text, whole, zone } from './fields.ts';

const column = z.union([text('give the column’s name'), whole(1, 1000)], {
  error: () => 'give a column’s name from the header row, or its number counted from 1',
});

const template = z
  .string({ error: () => 'give a pattern such as "YYYY-MM-DD hh:mm:ss", or "iso"' })
  .superRefine((value, context) => {
    const fault = value === 'iso' ? null : timeTemplateFault(value);
    if (fault !== null) context.addIssue({ code: 'custom', message: fault });
  });

/** Each row names its own time. */
export const columnTime = z.strictObject({
  from: z.literal('column'),
  /** Several columns, such as date and time, are joined by a blank. */
  column: z.union([column, z.array(column).min(1)]),
  pattern: template,
  zone: zone.optional(),
});

const time = z.discriminatedUnion(
  'from',
  [
    columnTime,
    z.strictObject({ from: z.literal('name'), pattern: template, zone: zone.optional() }),
    z.strictObject({ from: z.literal('file') }),
  ],
  { error: () => 'give {"from": "column", …}, {"from": "name", …} or {"from": "file"}' },
);

const oneOf = <const T extends readonly [string, ...string[]]>(names: T) =>
  z.enum(names, { error: () => `give one of ${names.join(', ')}` });

/** What the columns of a meter's file mean. */
export const mappingSchema = z.strictObject({
  columns: z.strictObject(
    {
      frequency: column,
      level: column,
      mer: column.optional(),
      cnr: column.optional(),
      berPre: column.optional(),
      berPost: column.optional(),
      ambient: column.optional(),
    },
    {
      error: (issue) => (issue.code === 'invalid_type' ? 'give at least "frequency" and "level"' : undefined),
    },
  ),
  frequencyUnit: oneOf(['MHz', 'kHz', 'Hz']).default('MHz'),
  /** dBm at 75 Ω. */
  levelUnit: oneOf(['dBmV', 'dBuV', 'dBµV', 'dBm']),
  decimal: oneOf(['.', ',']).default('.'),
  /** How a file says "not measured". */
  missing: z.array(z.string()).default(['', '-', '--', '---', 'n/a', 'N/A', 'NaN']),
  /** How a level's cell says "looked for and not found". */
  lost: z.array(z.string()).default([]),
  time,
});
export type Mapping = z.output<typeof mappingSchema>;

/** How the cells of a CSV file are told apart. */
export const csvSchema = z.strictObject({
  separator: oneOf([',', ';', '\t', '|', ' ']).optional(),
  header: z.boolean({ error: () => 'give true or false' }).default(true),
  /** Lines above the header row, or above the first row. */
  skipLines: whole(0, 1000).default(0),
});
export type CsvOptions = z.output<typeof csvSchema>;
