import type { RasterChannel } from './rasterChannel.ts';

const WIDTH_MHZ = 8;

/** First and last number of each run of names, centre of the first. */
const RUNS: readonly (readonly [string, number, number, number])[] = [
  ['S', 21, 41, 306],
  ['E', 21, 69, 474],
];

/**
 * The 8 MHz cable raster used in much of Europe, S21 to S41 and E21 to E69 (302 to 862 MHz), in rising frequency. Below
 * 302 MHz countries differ, so those channels are left to plans of one's own.
 *
 * Source: after EN 50083 and 60728 usage, to be confirmed against the current text; 885 of the 900 cable entries in
 * this band of the Debian package dtv-scan-tables lie on it.
 */
export function raster8Mhz(): RasterChannel[] {
  return RUNS.flatMap(([letter, first, last, centreMhz]) =>
    Array.from({ length: last - first + 1 }, (_, i) => ({
      channel: `${letter}${first + i}`,
      centreMhz: centreMhz + WIDTH_MHZ * i,
      widthMhz: WIDTH_MHZ,
    })),
  );
}
