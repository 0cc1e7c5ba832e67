import { z } from '@hono/zod-openapi';
import { Instant } from './common.ts';

const Id = z.coerce.number().int().positive();

export const InstrumentParams = z.object({ siteId: Id, name: z.string().min(1).max(200) });
export const CalibrationParams = InstrumentParams.extend({ calibrationId: Id });

export const CalibrationSchema = z.object({
  calibrationId: z.number(),
  calibratedAt: Instant,
  dueAt: Instant.nullable(),
  /** Of a level reading, as the certificate states it. */
  uncertaintyDb: z.number().nullable(),
  certificate: z.string(),
  enteredBy: z.string(),
  enteredAt: Instant,
});

export const InstrumentSchema = z.object({
  /** What sweeps call it. */
  name: z.string(),
  serial: z.string(),
  note: z.string(),
  /** `unknown`: nobody entered a calibration, or none says when it is due. */
  standing: z.enum(['in', 'overdue', 'unknown']),
  firstReadAt: Instant.nullable(),
  lastReadAt: Instant.nullable(),
  /** Points that it has read, by their titles. */
  points: z.array(z.string()),
  /** Newest first. */
  calibrations: z.array(CalibrationSchema),
});
export type Instrument = z.infer<typeof InstrumentSchema>;
export const InstrumentsSchema = z.object({ instruments: z.array(InstrumentSchema) });

export const ChangeInstrumentSchema = z
  .object({ serial: z.string().trim().max(120), note: z.string().trim().max(500) })
  .partial();
export type ChangeInstrument = z.infer<typeof ChangeInstrumentSchema>;

export const NewCalibrationSchema = z.object({
  calibratedAt: Instant,
  dueAt: Instant.nullable().default(null),
  uncertaintyDb: z.number().min(0.01).max(10).nullable().default(null),
  certificate: z.string().trim().max(300).default(''),
});
export type NewCalibration = z.infer<typeof NewCalibrationSchema>;

/** Since when the instrument of a reading was out of calibration at that time; null when it wasn't, or nobody knows. */
export const OverdueSince = Instant.nullable();
