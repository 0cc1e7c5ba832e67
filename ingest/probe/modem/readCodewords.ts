import type { CodewordCounts, CodewordReading } from './codewords.ts';
import { CODEWORD_COLUMNS, DISCONTINUITY, UPTIME } from './objects.ts';
import type { SnmpReader } from './snmpReader.ts';

type Columns = Readonly<Record<'unerrored' | 'corrected' | 'uncorrectable', ReadonlyMap<string, number>>>;

/**
 * The codeword counters of the tuners at `frequencyHz`, by row. Uptime is read first and the rows after it, so a restart
 * between the two shows at the next reading.
 */
export async function readCodewords(
  reader: SnmpReader,
  frequencyHz: ReadonlyMap<string, number>,
  now: () => number,
): Promise<CodewordReading> {
  const atMs = now();
  const ticks = await reader.integer(UPTIME);
  const discontinuity = await reader.column(DISCONTINUITY);
  const wide = await readColumns(reader, CODEWORD_COLUMNS.wide);
  const isWide = [...frequencyHz.keys()].every((row) => countsAt(wide, row) !== null);
  const narrow = isWide ? null : await readColumns(reader, CODEWORD_COLUMNS.narrow);

  const tuners = new Map<string, CodewordCounts>();
  for (const [row, hz] of frequencyHz) {
    const inWide = countsAt(wide, row);
    const counts = inWide ?? (narrow && countsAt(narrow, row));
    if (counts === null) continue;
    tuners.set(row, {
      ...counts,
      frequencyHz: hz,
      bits: inWide === null ? 32 : 64,
      discontinuity: discontinuity.get(row) ?? null,
    });
  }
  return { atMs, uptimeMs: ticks === null ? null : ticks * 10, tuners };
}

async function readColumns(
  reader: SnmpReader,
  oids: (typeof CODEWORD_COLUMNS)['wide' | 'narrow'],
): Promise<Columns> {
  return {
    unerrored: await reader.column(oids.unerrored),
    corrected: await reader.column(oids.corrected),
    uncorrectable: await reader.column(oids.uncorrectable),
  };
}

function countsAt(columns: Columns, row: string) {
  const [unerrored, corrected, uncorrectable] = [
    columns.unerrored.get(row),
    columns.corrected.get(row),
    columns.uncorrectable.get(row),
  ];
  if (unerrored === undefined || corrected === undefined || uncorrectable === undefined) return null;
  return { unerrored, corrected, uncorrectable };
}
