import type { ChannelOffer, TypedDraft, TypedReading } from '../../../api/schemas/typedReadings.ts';
import { figureOf } from './figure.ts';
import type { Kept, KeptRow } from './kept.ts';

const WRONG = 'is no number: type digits, and a point or comma before the tenths';

/** The channel that a row is about; null where its frequency is typed. */
export function offerOf(row: KeptRow, channels: readonly ChannelOffer[]): ChannelOffer | null {
  return channels.find(({ freqMhz }) => String(freqMhz) === row.mhz) ?? null;
}

/** Fields as figures for the server, and what can't be read, by field such as "rows.2.level". */
export function draftOf(
  kept: Kept,
  channels: readonly ChannelOffer[],
): { draft: TypedDraft; places: number[]; faults: Readonly<Record<string, string>> } {
  const faults: Record<string, string> = {};
  const figure = (text: string, field: string): number | null => {
    const value = figureOf(text);
    if (value === 'wrong') faults[field] = WRONG;
    return value === 'wrong' ? null : value;
  };
  const readings: TypedReading[] = [];
  const places: number[] = [];
  kept.rows.forEach((row, i) => {
    const freqMhz = figure(row.mhz, `rows.${i}.mhz`);
    const level = figure(row.level, `rows.${i}.level`);
    const quality = figure(row.quality, `rows.${i}.quality`);
    if (freqMhz === null) return;
    const isAnalogue = offerOf(row, channels)?.modulation === 'analogue';
    places.push(i);
    readings.push({
      freqMhz,
      level,
      merDb: isAnalogue ? null : quality,
      cnrDb: isAnalogue ? quality : null,
      lost: row.lost,
    });
  });
  const ambientC = figure(kept.ambient, 'ambient');
  return {
    draft: { instrument: kept.instrument, levelUnit: kept.levelUnit, ambientC, readings },
    places,
    faults,
  };
}

/** What the server says of a field of the draft, as the field of the form. */
export function fieldOf(path: string, places: readonly number[]): string {
  const [, place, field] = /^readings\.(\d+)\.(\w+)$/.exec(path) ?? [];
  if (place === undefined) return path === 'ambientC' ? 'ambient' : path;
  const name = field === 'freqMhz' ? 'mhz' : field === 'level' ? 'level' : 'quality';
  return `rows.${places[Number(place)]}.${name}`;
}
