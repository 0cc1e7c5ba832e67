import { z } from '@hono/zod-openapi';

export const MOST_SITES = 2_000;
export const MOST_POINTS = 20_000;

export const SiteImportSchema = z.object({
  /** The sites file, as text: a header row, then one row a site. */
  sites: z.string().min(1).max(4_000_000),
  /** The points file: one row a point; null leaves points as they are. */
  points: z.string().max(4_000_000).nullable().default(null),
  /** What is done with a site whose name is there already. */
  known: z.enum(['skip', 'update']).default('skip'),
  /** Without it nothing is kept: the answer says what would be. */
  apply: z.boolean().default(false),
});
export type SiteImportInput = z.input<typeof SiteImportSchema>;

export const ImportFileSchema = z.enum(['sites', 'points']);
export type ImportFile = z.infer<typeof ImportFileSchema>;

/** One thing wrong, where it stands in the spreadsheet, and what to do. */
export const ImportFaultSchema = z.object({
  file: ImportFileSchema,
  /** As a spreadsheet counts: the header is row 1; null speaks of the whole file. */
  row: z.number().nullable(),
  column: z.string().nullable(),
  /** What the cell holds; empty when it is empty. */
  value: z.string(),
  problem: z.string(),
});
export type ImportFault = z.infer<typeof ImportFaultSchema>;

export const IMPORT_ACTIONS = ['add', 'update', 'unchanged', 'skip', 'refuse'] as const;

export const ImportReportSchema = z.object({
  /** Whether what is listed was done, or only would be. */
  applied: z.boolean(),
  counts: z.record(z.enum(IMPORT_ACTIONS), z.number()),
  points: z.object({ added: z.number(), changed: z.number() }),
  sites: z.array(
    z.object({
      row: z.number().nullable(),
      name: z.string(),
      siteId: z.number().nullable(),
      action: z.enum(IMPORT_ACTIONS),
      pointsAdded: z.number(),
      pointsChanged: z.number(),
    }),
  ),
  faults: z.array(ImportFaultSchema),
});
export type ImportReport = z.infer<typeof ImportReportSchema>;

/** The form of the two files: their columns in words, and a template of each with an example. */
export const ImportFormSchema = z.object({
  files: z.array(
    z.object({
      file: ImportFileSchema,
      columns: z.array(
        z.object({ name: z.string(), needed: z.enum(['always', 'new', 'no']), words: z.string() }),
      ),
      template: z.string(),
    }),
  ),
});
export type ImportForm = z.infer<typeof ImportFormSchema>;
