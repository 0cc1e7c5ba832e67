import { checkSweep } from '../../contract/checkSweep.ts';
import { instantMs } from '../../contract/instant.ts';
import { INGEST_LIMITS } from '../../contract/limits.ts';
import type { ContractSweep } from '../../probe/contractSweep.ts';
import type { Sweep } from '../../sweep.ts';
import type { ClockReading } from '../clock.ts';
import type { Reading } from '../source.ts';

export interface Origin {
  readonly point: string;
  /** Name for sweeps that carry none; null when they must. */
  readonly instrument: string | null;
  /** Time for sweeps that carry none; null when they must. */
  readonly startedAt: ClockReading | null;
}

/**
 * The sweeps in JSON text, one alone or `{"sweeps": […]}`, as the contract has them. `point` may be left out, and
 * must be the origin's when it is there. Throws an Error that names what is wrong and where.
 */
export function contractReadings(json: string, origin: Origin): Reading[] {
  const sweeps = sweepsIn(parseJson(json));
  return sweeps.map((sweep, i) => toReading(sweep, sweeps.length === 1 ? '' : `sweeps[${i}]: `, origin));
}

function parseJson(json: string): unknown {
  try {
    return JSON.parse(json);
  } catch (cause) {
    const reason = cause instanceof Error ? cause.message : String(cause);
    throw new Error(json.trim() === '' ? 'it is empty' : `it is not JSON: ${reason}`, { cause });
  }
}

function sweepsIn(value: unknown): unknown[] {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw new Error('it is neither one sweep {"freq_mhz", "level_dbmv", …} nor {"sweeps": […]}');
  }
  if (!('sweeps' in value)) return [value];
  if (Array.isArray(value.sweeps)) return value.sweeps;
  throw new Error('its "sweeps" is no list');
}

function toReading(value: unknown, where: string, { point, instrument, startedAt }: Origin): Reading {
  const given = typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : {};
  if (given['point'] !== undefined && given['point'] !== point) {
    throw new Error(
      `${where}point: it is for ${JSON.stringify(given['point'])}, this probe stands at “${point}”`,
    );
  }
  const isStampedHere = given['at'] === undefined && startedAt !== null;
  const sweep = {
    ...given,
    point,
    ...(isStampedHere && { at: new Date(startedAt.wallMs).toISOString() }),
    ...(given['instrument'] === undefined && instrument !== null && { instrument }),
  };
  // Whether the time is likely is for the server to say: this machine's clock may be wrong.
  const atMs = 'at' in sweep && typeof sweep.at === 'string' ? instantMs(sweep.at) : null;
  const checked = checkSweep(sweep, 0, atMs ?? 0, INGEST_LIMITS);
  if ('reason' in checked) {
    throw new Error(`${where}${checked.path.replace(/^sweeps\[0\]\.?/, '')}: ${checked.reason}`);
  }
  return {
    sweep: toSweep(sweep as unknown as ContractSweep, checked.atMs),
    uptimeMs: isStampedHere ? startedAt.uptimeMs : null,
  };
}

/** A sweep that keeps the contract, in the order of rising frequency. */
function toSweep(sent: ContractSweep, atMs: number): Sweep {
  const order = sent.freq_mhz.map((_, i) => i).sort((a, b) => sent.freq_mhz[a]! - sent.freq_mhz[b]!);
  const rising = <T>(values: readonly T[]) => order.map((i) => values[i]!);
  const risingOrNull = (values: readonly (number | null)[] | null | undefined) =>
    values == null ? null : rising(values);
  return {
    atMs,
    instrument: sent.instrument,
    ambientC: sent.ambient_c ?? null,
    freqMhz: rising(sent.freq_mhz),
    levelDbmv: rising(sent.level_dbmv),
    merDb: risingOrNull(sent.mer_db),
    cnrDb: risingOrNull(sent.cnr_db),
    berPre: risingOrNull(sent.ber_pre),
    berPost: risingOrNull(sent.ber_post),
    lostMhz: [...(sent.lost ?? [])].sort((a, b) => a - b),
  };
}
