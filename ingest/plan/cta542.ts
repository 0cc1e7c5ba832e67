import type { RasterChannel } from './rasterChannel.ts';

export type Cta542Raster = 'STD' | 'HRC' | 'IRC';

const WIDTH_MHZ = 6;
/** The picture carrier lies 1.25 MHz above the lower edge (47 CFR 73.682(a)), so 1.75 MHz below the centre. */
const VISUAL_ABOVE_EDGE_MHZ = 1.25;
const VISUAL_BELOW_CENTRE_MHZ = 1.75;
/** The comb of the harmonically related plan, MHz. */
const HRC_STEP_MHZ = 6.0003;
const COMMUNICATION_OFFSET_MHZ = 0.0125;
const NAVIGATION_OFFSET_MHZ = 0.025;

/** First and last channel, lower edge of the first. After CTA-542, to be confirmed against the current text. */
const RUNS: readonly (readonly [number, number, number])[] = [
  [2, 4, 54],
  [5, 6, 76],
  [7, 13, 174],
  [14, 22, 120],
  [23, 94, 216],
  [95, 99, 90],
  [100, 158, 648],
];
/** In the two coherent plans channel 1 exists and 5 and 6 lie 2 MHz higher than in the standard one. */
const COHERENT_RUNS: readonly (readonly [number, number, number])[] = [
  [1, 1, 72],
  [5, 6, 78],
];

/**
 * The United States cable raster, channels 1 or 2 to 158 (54 to 1002 MHz), in rising frequency: standard (STD),
 * harmonically related (HRC) or incrementally related carriers (IRC). Computed; carriers in the aeronautical bands are
 * offset by 12.5 kHz (communication) or 25 kHz (navigation) and centres move with them. Digital carriers are tuned at the
 * raster centre, offset or not: match with 0.05 MHz of tolerance (`matchChannels`).
 *
 * Source: after CTA-542 and 47 CFR 76.612, to be confirmed against the current text; every STD centre and all but the
 * listed HRC and IRC ones agree with the Debian package dtv-scan-tables (tests/ingest/plan).
 */
export function cta542(raster: Cta542Raster): RasterChannel[] {
  const lowerEdges = new Map<number, number>();
  for (const run of raster === 'STD' ? RUNS : [...RUNS, ...COHERENT_RUNS]) {
    const [first, last, edgeMhz] = run;
    for (let channel = first; channel <= last; channel++) {
      lowerEdges.set(channel, edgeMhz + WIDTH_MHZ * (channel - first));
    }
  }
  return [...lowerEdges]
    .sort((a, b) => a[1] - b[1])
    .map(([channel, edgeMhz]) => {
      const visualMhz = roundToHertz(visual(raster, edgeMhz));
      return {
        channel: String(channel),
        centreMhz: roundToHertz(visualMhz + VISUAL_BELOW_CENTRE_MHZ),
        widthMhz: WIDTH_MHZ,
        visualMhz,
      };
    });
}

function visual(raster: Cta542Raster, edgeMhz: number): number {
  if (raster === 'STD') {
    const nominal = edgeMhz + VISUAL_ABOVE_EDGE_MHZ;
    return nominal + aeronauticalOffsetMhz(nominal);
  }
  if (raster === 'HRC') {
    const harmonic = HRC_STEP_MHZ * (edgeMhz / WIDTH_MHZ);
    return inVhfNavigation(harmonic) ? edgeMhz + NAVIGATION_OFFSET_MHZ : harmonic;
  }
  const nominal = edgeMhz + VISUAL_ABOVE_EDGE_MHZ;
  const navigation = aeronauticalOffsetMhz(nominal) === NAVIGATION_OFFSET_MHZ;
  return nominal + (navigation ? NAVIGATION_OFFSET_MHZ : COMMUNICATION_OFFSET_MHZ);
}

function aeronauticalOffsetMhz(visualMhz: number): number {
  const within = (low: number, high: number): boolean => visualMhz >= low && visualMhz < high;
  if (inVhfNavigation(visualMhz) || within(328.6, 335.4)) return NAVIGATION_OFFSET_MHZ;
  if (within(118, 137) || within(225, 328.6) || within(335.4, 400)) return COMMUNICATION_OFFSET_MHZ;
  return 0;
}

function inVhfNavigation(visualMhz: number): boolean {
  return visualMhz >= 108 && visualMhz < 118;
}

function roundToHertz(mhz: number): number {
  return Math.round(mhz * 1e6) / 1e6;
}
