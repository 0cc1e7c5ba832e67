import { median } from '../../signal/median.ts';
import type { Sweep } from '../../sweep.ts';
import { type ChannelPlace, channelPowers } from './channelPowers.ts';
import type { SpectrumSegment } from './spectrumSegment.ts';

/** Tuner and spectrum report the same channel when their frequencies are this close. */
const SAME_CHANNEL_MHZ = 0.5;
/** Further apart than two kinds of measurement in one device should be (common practice, no source). */
const DOUBTFUL_DB = 3;

/**
 * A sweep of all channels that the spectrum reaches, with the MER of those that a tuner stands on. Its instrument has a name
 * of its own, "… spectrum": the two ways of measuring differ, and a channel's level must not jump when a tuner moves.
 * Channels of the tuners that are not asked for are left out. Null when the spectrum reaches over none.
 */
export function spectrumSweep(
  tuned: Sweep,
  segments: readonly SpectrumSegment[],
  channels: readonly ChannelPlace[],
): Sweep | null {
  const rising = channels.toSorted((a, b) => a.centreMhz - b.centreMhz);
  const levels = channelPowers(segments, rising);
  const found = rising
    .map(({ centreMhz }, i) => ({ centreMhz, level: levels[i]!, mer: merAt(tuned, centreMhz) }))
    .filter(({ level }) => level !== null);
  if (found.length === 0) return null;
  return {
    ...tuned,
    instrument: `${tuned.instrument} spectrum`,
    freqMhz: found.map(({ centreMhz }) => centreMhz),
    levelDbmv: found.map(({ level }) => level),
    merDb: found.some(({ mer }) => mer !== null) ? found.map(({ mer }) => mer) : null,
  };
}

/** What a person should know about the spectrum: its reach, and how it stands to the tuners. */
export function spectrumNotes(tuned: Sweep, spectrum: Sweep, asked: number): string[] {
  const notes = [`levels from the spectrum table: ${spectrum.freqMhz.length} of ${asked} channels reached`];
  const offsetDb = spectrumOffsetDb(tuned, spectrum);
  if (offsetDb !== null && Math.abs(offsetDb) > DOUBTFUL_DB) {
    notes.push(
      `the spectrum lies ${Math.round(Math.abs(offsetDb))} dB ${offsetDb < 0 ? 'below' : 'above'} what the tuners read: this modem may not mean dBmV in it`,
    );
  }
  return notes;
}

/** Median of spectrum less tuner over the channels that both measured, dB; null when there is none. */
export function spectrumOffsetDb(tuned: Sweep, spectrum: Sweep): number | null {
  return median(
    spectrum.freqMhz.map((mhz, i) => {
      const level = spectrum.levelDbmv[i] ?? null;
      const tuner = placeOf(tuned, mhz);
      const tunerLevel = tuner < 0 ? null : tuned.levelDbmv[tuner]!;
      return level === null || tunerLevel === null ? null : level - tunerLevel;
    }),
  );
}

function merAt(tuned: Sweep, centreMhz: number): number | null {
  const place = placeOf(tuned, centreMhz);
  return place < 0 ? null : (tuned.merDb?.[place] ?? null);
}

function placeOf({ freqMhz }: Sweep, centreMhz: number): number {
  return freqMhz.findIndex((mhz) => Math.abs(mhz - centreMhz) <= SAME_CHANNEL_MHZ);
}
