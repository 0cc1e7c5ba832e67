import { z } from '@hono/zod-openapi';

export const ProviderSchema = z.object({
  providerId: z.number(),
  name: z.string(),
  /** How to reach them about a handoff. */
  contact: z.string(),
  sites: z.number(),
});
export type Provider = z.infer<typeof ProviderSchema>;
export const ProvidersSchema = z.object({ providers: z.array(ProviderSchema) });

export const NewProviderSchema = z.object({
  name: z.string().trim().min(1).max(120),
  contact: z.string().trim().max(500).default(''),
});
export type NewProvider = z.input<typeof NewProviderSchema>;

export const ChangeProviderSchema = z.object({
  name: NewProviderSchema.shape.name.optional(),
  contact: z.string().trim().max(500).optional(),
});
export type ChangeProvider = z.infer<typeof ChangeProviderSchema>;
