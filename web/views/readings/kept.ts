import type { LevelUnit, TypedForm } from '../../../api/schemas/typedReadings.ts';

/** One channel of the form, as it stands in its fields. */
export interface KeptRow {
  /** Chosen from the plan, or what is typed where there is none. */
  readonly mhz: string;
  readonly level: string;
  /** MER, or CNR on an analogue channel. */
  readonly quality: string;
  readonly lost: boolean;
}

/** What is typed, kept on this device until it is saved or thrown away. */
export interface Kept {
  readonly instrument: string;
  readonly levelUnit: LevelUnit;
  readonly ambient: string;
  readonly rows: readonly KeptRow[];
  /** When the last figure was typed, ISO 8601: the time of the sweep. */
  readonly changedAt: string;
}

export const EMPTY_ROW: KeptRow = { mhz: '', level: '', quality: '', lost: false };

const METER = 'levelkeep.meter';
const place = (siteId: number, pointId: number) => `levelkeep.readings.${siteId}.${pointId}`;

/** What was left unfinished at this point, or the proposed channels with the meter used last. */
export function openKept({ site, point, proposedMhz, instruments }: TypedForm, now: Date): Kept {
  const left = read<Kept>(place(site.siteId, point.pointId));
  if (left !== null) return left;
  const meter = read<Pick<Kept, 'instrument' | 'levelUnit'>>(METER);
  return {
    instrument: meter?.instrument ?? instruments[0] ?? '',
    levelUnit: meter?.levelUnit ?? 'dBmV',
    ambient: '',
    rows:
      proposedMhz.length > 0 ? proposedMhz.map((mhz) => ({ ...EMPTY_ROW, mhz: String(mhz) })) : [EMPTY_ROW],
    changedAt: now.toISOString(),
  };
}

/** Keeps it, and the meter for other points. False when this device keeps nothing. */
export function keep(siteId: number, pointId: number, kept: Kept): boolean {
  const { instrument, levelUnit } = kept;
  return write(place(siteId, pointId), kept) && write(METER, { instrument, levelUnit });
}

/** After it was saved or thrown away. */
export function forget(siteId: number, pointId: number): void {
  try {
    localStorage.removeItem(place(siteId, pointId));
  } catch {
    // A device that keeps nothing has nothing to forget.
  }
}

/** Whether anything is typed that would be a loss. */
export function hasFigures({ rows }: Kept): boolean {
  return rows.some(({ level, quality, lost }) => lost || level.trim() !== '' || quality.trim() !== '');
}

function read<T>(key: string): T | null {
  try {
    return JSON.parse(localStorage.getItem(key) ?? 'null') as T | null;
  } catch {
    return null;
  }
}

function write(key: string, value: unknown): boolean {
  try {
    localStorage.setItem(key, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}
