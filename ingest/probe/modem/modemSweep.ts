import type { Sweep } from '../../sweep.ts';
import { countOf } from '../countOf.ts';
import { hzToMhz, modulationName, tenthsToDb } from './decode.ts';

/** One downstream tuner as the modem's tables give it, in the tables' own units; null where they don't. */
export interface ModemRow {
  readonly operStatus: number | null;
  readonly frequencyHz: number;
  readonly widthHz: number | null;
  readonly modulation: number | null;
  readonly powerTenths: number | null;
  readonly signalNoiseTenths: number | null;
  readonly microreflections: number | null;
  readonly rxMerTenths: number | null;
}

const OPER_STATUS_UP = 1;
const OPER_STATUS_UNKNOWN = 4;

/**
 * Whether the tuner receives its channel. RFC 4546 lets a modem whose interface is down report 0 or an
 * old value for power, so nothing that an unlocked tuner says is a measurement. A modem that doesn't
 * give ifOperStatus is believed unless power and quality are both blank.
 */
export function isLocked(row: ModemRow): boolean {
  if (row.operStatus !== null && row.operStatus !== OPER_STATUS_UNKNOWN) {
    return row.operStatus === OPER_STATUS_UP;
  }
  return (row.powerTenths ?? 0) !== 0 || merTenths(row) !== null;
}

/** dBmV, null when not measured. 0 from a locked tuner is a real 0 dBmV. */
export function levelDbmv(row: ModemRow): number | null {
  return isLocked(row) && row.powerTenths !== null ? tenthsToDb(row.powerTenths) : null;
}

/** dB: RxMER where the modem has it, else the older signal-to-noise figure; null when not measured. */
export function merDb(row: ModemRow): number | null {
  const tenths = isLocked(row) ? merTenths(row) : null;
  return tenths === null ? null : tenthsToDb(tenths);
}

/** A demodulator that locked never sees 0 dB: the tables use it for "none". */
function merTenths({ rxMerTenths, signalNoiseTenths }: ModemRow): number | null {
  return rxMerTenths || signalNoiseTenths || null;
}

/**
 * The sweep in a modem's tables. Tuners without a frequency have no place in a sweep; where two share
 * one, the locked one counts. `merDb` is null when no tuner has any.
 */
export function modemSweep(rows: readonly ModemRow[], instrument: string, atMs: number): Sweep {
  const tuned = oneRowPerFrequency(rows);
  const mer = tuned.map(merDb);
  return {
    atMs,
    instrument,
    ambientC: null,
    freqMhz: tuned.map((row) => hzToMhz(row.frequencyHz)),
    levelDbmv: tuned.map(levelDbmv),
    merDb: mer.some((value) => value !== null) ? mer : null,
    cnrDb: null,
    berPre: null,
    berPost: null,
    lostMhz: [],
  };
}

/** What a person should know about the reading that the sweep can't hold; one line each. */
export function modemNotes(rows: readonly ModemRow[]): string[] {
  const tuned = oneRowPerFrequency(rows);
  const locked = tuned.filter(isLocked);
  const notes = [summary(tuned, locked)];

  const untuned = rows.filter((row) => row.frequencyHz <= 0).length;
  if (untuned > 0)
    notes.push(`${countOf(untuned, 'tuner has', 'tuners have')} no frequency and cannot be reported`);
  const shared = rows.length - untuned - tuned.length;
  if (shared > 0) {
    notes.push(
      `${countOf(shared, 'tuner stands', 'tuners stand')} on a frequency that another one reports; one of them is sent`,
    );
  }
  const unlocked = tuned.filter((row) => !isLocked(row));
  if (unlocked.length > 0) {
    const list = unlocked.map((row) => hzToMhz(row.frequencyHz)).join(', ');
    notes.push(`not locked, so sent as not measured: ${list} MHz`);
  }
  const echo = worstEcho(locked);
  if (echo !== null) notes.push(echo);
  return notes;
}

function oneRowPerFrequency(rows: readonly ModemRow[]): ModemRow[] {
  const best = new Map<number, ModemRow>();
  for (const row of rows) {
    if (row.frequencyHz <= 0) continue;
    const other = best.get(row.frequencyHz);
    if (other === undefined || (!isLocked(other) && isLocked(row))) best.set(row.frequencyHz, row);
  }
  return [...best.values()].sort((a, b) => a.frequencyHz - b.frequencyHz);
}

function summary(tuned: readonly ModemRow[], locked: readonly ModemRow[]): string {
  const first = tuned[0];
  const last = tuned.at(-1);
  if (first === undefined || last === undefined) return 'no tuner has a frequency';
  const kinds = new Set(
    locked.map((row) => {
      const width = row.widthHz ? `${hzToMhz(row.widthHz)} MHz wide` : 'width unknown';
      return `${modulationName(row.modulation ?? 1) ?? 'modulation unknown'}, ${width}`;
    }),
  );
  const band = `${hzToMhz(first.frequencyHz)} to ${hzToMhz(last.frequencyHz)} MHz`;
  const kindList = kinds.size > 0 ? ` (${[...kinds].join('; ')})` : '';
  const rxMer = locked.filter((row) => row.rxMerTenths).length;
  const older = locked.filter((row) => !row.rxMerTenths && row.signalNoiseTenths).length;
  return `${countOf(tuned.length, 'channel', 'channels')}, ${band}, ${locked.length} locked${kindList}; MER from RxMER on ${rxMer}, from signal to noise on ${older}`;
}

function worstEcho(locked: readonly ModemRow[]): string | null {
  const measured = locked.filter((row) => row.microreflections !== null && row.microreflections > 0);
  const worst = measured.toSorted((a, b) => a.microreflections! - b.microreflections!)[0];
  if (worst === undefined) return null;
  return `strongest micro-reflection: -${worst.microreflections} dBc at ${hzToMhz(worst.frequencyHz)} MHz (shown here only; a sweep has no place for it)`;
}
