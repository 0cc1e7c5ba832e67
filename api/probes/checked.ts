import type { ZodType } from 'zod';
import { InvalidInput } from '../errors.ts';
import { faultText } from '../faultText.ts';

/** The value as the schema has it. Throws InvalidInput that names each field at fault below `path`. */
export function checked<T>(schema: ZodType<T>, value: unknown, path: string): T {
  const parsed = schema.safeParse(value);
  if (parsed.success) return parsed.data;
  throw new InvalidInput(
    Object.fromEntries(
      parsed.error.issues.map((issue) => [[path, ...issue.path].join('.'), faultText(issue)]),
    ),
  );
}
