import { OpenAPIHono } from '@hono/zod-openapi';
import type { ZodType } from 'zod';
import type { AppEnv } from './env.ts';
import { InvalidInput } from './errors.ts';
import { faultText } from './faultText.ts';

const SHOWN_FAULTS = 20;

/** A router whose routes refuse bad input with the path of every field at fault. */
export function createRouter(): OpenAPIHono<AppEnv> {
  return new OpenAPIHono<AppEnv>({
    defaultHook: (result) => {
      if (result.success) return;
      const faults = result.error.issues.slice(0, SHOWN_FAULTS);
      throw new InvalidInput(
        Object.fromEntries(faults.map((fault) => [fault.path.join('.'), faultText(fault)])),
      );
    },
  });
}

/** A JSON body that must be there; without `required` a body of another type would pass unread. */
export function jsonBody<T extends ZodType>(schema: T) {
  return { required: true, content: { 'application/json': { schema } } } as const;
}

/** An answer of JSON. */
export function jsonAnswer<T extends ZodType>(description: string, schema: T) {
  return { description, content: { 'application/json': { schema } } } as const;
}

/** An answer without a body: it was done. */
export const DONE = { 204: { description: 'Done' } } as const;
