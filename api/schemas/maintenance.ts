import { z } from '@hono/zod-openapi';
import { WINDOW_SCOPES } from '../../ingest/store/schema.ts';
import { Instant } from './common.ts';

const Id = z.coerce.number().int().positive();

export const WindowParams = z.object({ windowId: Id });

export const WindowsQuery = z.object({
  /** Only windows that hold at this site: its own, its provider's and the fleet's. */
  site: Id.optional(),
});

const reason = z.string().trim().min(3, 'say why: 3 letters or more').max(500);
const effect = z.string().trim().min(3, 'say what the work does to the signal: 3 letters or more').max(500);

export const MaintenanceWindowSchema = z.object({
  windowId: z.number(),
  scope: z.enum(WINDOW_SCOPES),
  scopeId: z.number().nullable(),
  /** The site or provider by name; null for the fleet. */
  scopeName: z.string().nullable(),
  /** Of the site; null where more than one zone may be meant. */
  timeZone: z.string().nullable(),
  fromAt: Instant,
  /** The first moment after it. */
  toAt: Instant,
  reason: z.string(),
  effect: z.string(),
  state: z.enum(['planned', 'running', 'over', 'cancelled']),
  createdBy: z.string(),
  createdAt: Instant,
  cancelledBy: z.string().nullable(),
  cancelledAt: Instant.nullable(),
});
export type MaintenanceWindow = z.infer<typeof MaintenanceWindowSchema>;
export const MaintenanceWindowsSchema = z.object({ windows: z.array(MaintenanceWindowSchema) });

export const NewWindowSchema = z.object({
  scope: z.enum(WINDOW_SCOPES),
  scopeId: z.number().int().positive().nullable(),
  fromAt: Instant,
  toAt: Instant,
  reason,
  effect,
});
export type NewWindow = z.infer<typeof NewWindowSchema>;

export const ChangeWindowSchema = z.object({ fromAt: Instant, toAt: Instant, reason, effect }).partial();
export type ChangeWindow = z.infer<typeof ChangeWindowSchema>;

/** A window as it marks readings of one site. */
export const MarkedWindowSchema = z.object({ fromAt: Instant, toAt: Instant, reason: z.string() });
export type MarkedWindow = z.infer<typeof MarkedWindowSchema>;
