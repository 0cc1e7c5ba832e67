import { checkSweep } from '../../ingest/contract/checkSweep.ts';
import { INGEST_LIMITS } from '../../ingest/contract/limits.ts';
import { type ContractSweep, contractSweep } from '../../ingest/probe/contractSweep.ts';
import { dbm75ToDbmv } from '../../ingest/signal/dbm75ToDbmv.ts';
import { dbuvToDbmv } from '../../ingest/signal/dbuvToDbmv.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { typedInstrument } from '../../ingest/typedInstrument.ts';
import { InvalidInput } from '../errors.ts';
import type { LevelUnit, TypedDraft, TypedReading } from '../schemas/typedReadings.ts';

/** Level in dBmV of what a meter shows in its unit, to the hundredth. */
export function typedLevelDbmv(level: number, unit: LevelUnit): number {
  if (unit === 'dBmV') return level;
  return Math.round((unit === 'dBm' ? dbm75ToDbmv(level) : dbuvToDbmv(level)) * 100) / 100;
}

/** What a draft holds as a sweep, in rising frequency; rows without any figure are left out. */
export function draftSweep(draft: TypedDraft, atMs: number): Sweep {
  const filled = draft.readings.filter(hasFigure).toSorted((a, b) => a.freqMhz - b.freqMhz);
  const unique = filled.filter(({ freqMhz }, i) => freqMhz !== filled[i - 1]?.freqMhz);
  const measured = unique.filter(({ lost }) => !lost);
  // A sweep names at least one carrier, and one that is lost has no level.
  const carriers = measured.length > 0 ? measured : unique.slice(0, 1);
  const valuesOrNull = (pick: (reading: TypedReading) => number | null) =>
    carriers.some((reading) => !reading.lost && pick(reading) !== null)
      ? carriers.map((reading) => (reading.lost ? null : pick(reading)))
      : null;
  return {
    atMs,
    instrument: typedInstrument(draft.instrument.trim()),
    ambientC: draft.ambientC,
    freqMhz: carriers.map(({ freqMhz }) => freqMhz),
    levelDbmv: carriers.map(({ level, lost }) =>
      level === null || lost ? null : typedLevelDbmv(level, draft.levelUnit),
    ),
    merDb: valuesOrNull(({ merDb }) => merDb),
    cnrDb: valuesOrNull(({ cnrDb }) => cnrDb),
    berPre: null,
    berPost: null,
    lostMhz: unique.filter(({ lost }) => lost).map(({ freqMhz }) => freqMhz),
  };
}

/**
 * The same as the contract has it, ready to be stored.
 * @throws InvalidInput that names the field of the draft which can't be stored
 */
export function typedContractSweep(
  point: string,
  draft: TypedDraft,
  atMs: number,
  nowMs: number,
): ContractSweep {
  if (draft.instrument.trim() === '') throw new InvalidInput({ instrument: 'is missing: name the meter' });
  const fault = repeatedFrequency(draft.readings);
  if (fault !== null) throw new InvalidInput(fault);
  if (!draft.readings.some(hasFigure))
    throw new InvalidInput({ readings: 'hold no figure yet: type at least one level' });

  const sweep = draftSweep(draft, atMs);
  const body = contractSweep(point, sweep);
  const checked = checkSweep(body, 0, nowMs, INGEST_LIMITS);
  if ('reason' in checked) throw new InvalidInput(inTheDraft(draft, sweep, checked.path, checked.reason));
  return body;
}

function hasFigure({ level, merDb, cnrDb, lost }: TypedReading): boolean {
  return lost || level !== null || merDb !== null || cnrDb !== null;
}

function repeatedFrequency(readings: readonly TypedReading[]): Record<string, string> | null {
  const filled = readings.map((reading) => (hasFigure(reading) ? reading.freqMhz : null));
  const again = filled.findIndex((mhz, i) => mhz !== null && filled.indexOf(mhz) < i);
  if (again < 0) return null;
  return { [`readings.${again}.freqMhz`]: `${filled[again]} MHz stands here twice: keep one of the two` };
}

const FIELDS: Readonly<Record<string, string>> = {
  freq_mhz: 'freqMhz',
  level_dbmv: 'level',
  mer_db: 'merDb',
  cnr_db: 'cnrDb',
  lost: 'freqMhz',
  ambient_c: 'ambientC',
};

/** The contract's path, such as `sweeps[0].level_dbmv[2]`, as the field of the form. */
function inTheDraft(
  { readings }: TypedDraft,
  sweep: Sweep,
  path: string,
  reason: string,
): Record<string, string> {
  const [, field = '', place] = /^sweeps\[0\]\.(\w+)(?:\[(\d+)\])?/.exec(path) ?? [];
  const name = FIELDS[field] ?? field;
  if (place === undefined) return { [name]: reason };
  const mhz = (field === 'lost' ? sweep.lostMhz : sweep.freqMhz)[Number(place)];
  return { [`readings.${readings.findIndex(({ freqMhz }) => freqMhz === mhz)}.${name}`]: reason };
}
