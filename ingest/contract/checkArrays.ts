import type { CheckedSweep } from './checkedSweep.ts';
import { Fault } from './fault.ts';
import { BER, CNR_DB, FREQ_MHZ, type IngestLimits, LEVEL_DBMV, MER_DB, type Range } from './limits.ts';

type Arrays = Pick<CheckedSweep, 'freqHz' | 'level' | 'mer' | 'cnr' | 'berPre' | 'berPost' | 'lost'>;

const HZ_PER_MHZ = 1e6;
const HUNDREDTHS = 100;

/** The parallel arrays of a sweep, checked and put in order of rising frequency. Throws a {@link Fault}. */
export function readArrays(sweep: Record<string, unknown>, limits: IngestLimits): Arrays {
  const sent = readFrequencies(sweep['freq_mhz'], 'freq_mhz', limits);
  if (sent.length === 0) throw new Fault('freq_mhz', 'is empty: name at least one carrier');
  const order = risingOrder(sent);
  const freqHz = order === null ? sent : order.map((i) => sent[i]!);
  refuseRepeats(freqHz, 'freq_mhz');
  if (sweep['level_dbmv'] === undefined || sweep['level_dbmv'] === null) {
    throw new Fault(
      'level_dbmv',
      'is missing: give one level for each carrier, or null where it was not measured',
    );
  }

  const literal = (field: string, range: Range, scale: number | null) =>
    readLiteral(sweep[field], field, range, scale, sent.length, order);
  return {
    freqHz,
    level: literal('level_dbmv', LEVEL_DBMV, HUNDREDTHS) ?? `{${sent.map(() => 'NULL').join(',')}}`,
    mer: literal('mer_db', MER_DB, HUNDREDTHS),
    cnr: literal('cnr_db', CNR_DB, HUNDREDTHS),
    berPre: literal('ber_pre', BER, null),
    berPost: literal('ber_post', BER, null),
    lost: readLost(sweep, sent, limits),
  };
}

/** Channels that were looked for and not found: frequencies that carry no level in the same sweep. */
function readLost(
  sweep: Record<string, unknown>,
  sentHz: readonly number[],
  limits: IngestLimits,
): string | null {
  const value = sweep['lost'] ?? null;
  if (value === null) return null;
  const lostHz = readFrequencies(value, 'lost', limits);
  if (lostHz.length === 0) return null;

  const levels = sweep['level_dbmv'] as readonly (number | null)[];
  for (let i = 0; i < lostHz.length; i++) {
    const carrier = sentHz.indexOf(lostHz[i]!);
    if (carrier >= 0 && levels[carrier] !== null) {
      throw new Fault(
        `lost[${i}]`,
        `has a level in level_dbmv[${carrier}]: a channel is either lost or measured`,
      );
    }
  }
  lostHz.sort((a, b) => a - b);
  refuseRepeats(lostHz, 'lost');
  return `{${lostHz.join(',')}}`;
}

function readFrequencies(value: unknown, field: string, limits: IngestLimits): number[] {
  if (!Array.isArray(value)) throw new Fault(field, 'is missing or no list: give centre frequencies in MHz');
  if (value.length > limits.maxCarriers) {
    throw new Fault(field, `has ${value.length} carriers: a sweep holds ${limits.maxCarriers} at the most`);
  }
  const freqHz = new Array<number>(value.length);
  for (let i = 0; i < value.length; i++) {
    const mhz: unknown = value[i];
    if (typeof mhz !== 'number') throw new Fault(`${field}[${i}]`, `is no number: ${FREQ_MHZ.advice}`);
    if (!(mhz >= FREQ_MHZ.min && mhz <= FREQ_MHZ.max)) throw Fault.outside(`${field}[${i}]`, mhz, FREQ_MHZ);
    freqHz[i] = Math.round(mhz * HZ_PER_MHZ);
  }
  return freqHz;
}

function refuseRepeats(risingHz: readonly number[], field: string): void {
  for (let i = 1; i < risingHz.length; i++) {
    if (risingHz[i] === risingHz[i - 1]) {
      throw new Fault(field, `names ${risingHz[i]! / HZ_PER_MHZ} MHz twice: name each carrier once`);
    }
  }
}

/** The places of the values in rising order; null when they rise already. */
function risingOrder(values: readonly number[]): number[] | null {
  for (let i = 1; i < values.length; i++) {
    if (values[i]! < values[i - 1]!) {
      return values.map((_, place) => place).sort((a, b) => values[a]! - values[b]!);
    }
  }
  return null;
}

/**
 * One array of readings as a PostgreSQL literal in rising frequency; null when the array is absent or holds no
 * reading at all. `scale` 100 makes hundredths of it; null keeps the number as it is.
 */
function readLiteral(
  value: unknown,
  field: string,
  range: Range,
  scale: number | null,
  length: number,
  order: readonly number[] | null,
): string | null {
  if (value === undefined || value === null) return null;
  if (!Array.isArray(value))
    throw new Fault(field, 'is no list: give one value for each carrier of freq_mhz');
  if (value.length !== length) {
    throw new Fault(
      field,
      `has ${value.length} values for ${length} carriers: give one for each, null where not measured`,
    );
  }

  const parts = new Array<string | number>(length);
  let readings = 0;
  for (let i = 0; i < length; i++) {
    const place = order === null ? i : order[i]!;
    const reading: unknown = value[place];
    if (reading === null) {
      parts[i] = 'NULL';
      continue;
    }
    if (typeof reading !== 'number') {
      throw new Fault(`${field}[${place}]`, `is no number: ${range.advice}, or null where not measured`);
    }
    if (!(reading >= range.min && reading <= range.max))
      throw Fault.outside(`${field}[${place}]`, reading, range);
    readings++;
    parts[i] = scale === null ? Math.fround(reading) : Math.round(reading * scale);
  }
  return readings === 0 ? null : `{${parts.join(',')}}`;
}
