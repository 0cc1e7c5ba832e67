import { STRIP_MARKS, STRIP_SLICES, type StripSlice } from './bandStrip.ts';

/** What the store keeps for a slice in which nothing is measured. */
const NO_READING = -32768;

/**
 * Of the strips of a site's points, the gravest in each slice (lost, then changed, then by size), as the store keeps them:
 * the changes in hundredths of a dB, and after them the places of the marks in {@link STRIP_MARKS}.
 */
export function worstStrip(strips: readonly (readonly (StripSlice | null)[])[]): number[] {
  const worst = Array.from({ length: STRIP_SLICES }, (_, i) =>
    strips.map((strip) => strip[i] ?? null).reduce(graver, null),
  );
  return [
    ...worst.map((slice) => toStored(slice?.changeDb ?? null)),
    ...worst.map((slice) => STRIP_MARKS.indexOf(slice?.mark ?? 'near')),
  ];
}

function graver(a: StripSlice | null, b: StripSlice | null): StripSlice | null {
  if (a === null || b === null) return a ?? b;
  return gravity(b) > gravity(a) ? b : a;
}

function gravity({ changeDb, mark }: StripSlice): number {
  return 1000 * STRIP_MARKS.indexOf(mark) + Math.abs(changeDb ?? 0);
}

function toStored(changeDb: number | null): number {
  return changeDb === null ? NO_READING : Math.max(-32767, Math.min(32767, Math.round(changeDb * 100)));
}

/** A kept strip as it travels to a page. */
export function stripView(stored: readonly number[]): {
  strip: (number | null)[];
  stripChanged: number[];
  stripLost: number[];
} {
  const marks = stored.slice(STRIP_SLICES).map((place) => STRIP_MARKS[place]);
  const marked = (mark: string) => marks.flatMap((each, i) => (each === mark ? [i] : []));
  return {
    strip: stored.slice(0, STRIP_SLICES).map((value) => (value === NO_READING ? null : value / 100)),
    stripChanged: marked('changed'),
    stripLost: marked('lost'),
  };
}
