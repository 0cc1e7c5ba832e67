import { isTyped } from '../../ingest/typedInstrument.ts';
import type { PointTrend } from './state.ts';
import { DAY_MS, type Observation } from './types.ts';

/** A probe that has not been heard for so long has gone, and what people type is all there is. */
const PROBE_GONE_MS = 7 * DAY_MS;

/**
 * Whether a sweep was typed at a point that a probe reads by itself. Such a one is for people: it is kept, shown and held
 * against limits, and the engine leaves it out, since a handful of channels by another meter would unsettle what many
 * sweeps have taught, and the probe tells of any fault within an interval. Where people type all there is, it counts.
 */
export function isTypedBeside(point: PointTrend | undefined, { instrument, atMs }: Observation): boolean {
  if (point === undefined || !isTyped(instrument)) return false;
  return point.instruments.some(({ id, lastMs }) => !isTyped(id) && atMs - lastMs <= PROBE_GONE_MS);
}
