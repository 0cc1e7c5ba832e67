import { visualMhz } from '../../ingest/plan/visualMhz.ts';
import type { LineUp, MeterNoise, ProviderFeed } from './plant.ts';
import { gaussianAt, seedFrom } from './random.ts';

const ANALOGUE_NOISE_BAND_MHZ = 4;
/** kTB of a matched 75 Ω load at 290 K in 1 MHz. */
const THERMAL_FLOOR_DBMV_PER_MHZ = -65.225;

/** The carriers of one line-up as columns, parallel to `freqMhz`. */
export interface Carriers {
  readonly channel: readonly string[];
  /** Where an instrument tunes: a digital channel's centre, an analogue channel's visual carrier. */
  readonly freqMhz: readonly number[];
  readonly isAnalogue: readonly boolean[];
  /** Level at the handoff on an ordinary day. */
  readonly feedDbmv: Float64Array;
  /** Noise of the feed, as a power ratio to the carrier. */
  readonly feedNoise: Float64Array;
  /** The meter's own noise of a strong carrier, as a power ratio. */
  readonly meterNoise: Float64Array;
  /** Thermal noise in the carrier's band, dBmV. */
  readonly floorDbmv: Float64Array;
}

/** Lays a line-up out as the carriers that an instrument meets at a provider's handoff. */
export function carriersOf(lineUp: LineUp, feed: ProviderFeed, meter: MeterNoise): Carriers {
  const { channels } = lineUp;
  const isAnalogue = channels.map(({ modulation }) => modulation === 'analogue');
  const spread = seedFrom('channel spread', feed.name);
  const column = (value: (index: number) => number) =>
    Float64Array.from(channels, (_, index) => value(index));
  const standing = (index: number) => gaussianAt(spread, Math.round(channels[index]!.centreMhz * 100));

  return {
    channel: channels.map(({ channel }) => channel),
    freqMhz: channels.map((channel, index) =>
      round(isAnalogue[index] ? visualMhz(channel) : channel.centreMhz),
    ),
    isAnalogue,
    feedDbmv: column(
      (index) =>
        feed.levelDbmv +
        (isAnalogue[index] ? feed.analogueAboveDb : 0) +
        feed.channelSpreadDb * standing(index),
    ),
    feedNoise: column((index) => ratio(isAnalogue[index] ? feed.cnrDb : feed.merDb + 0.8 * standing(index))),
    meterNoise: column((index) => ratio(isAnalogue[index] ? meter.cnrCeilingDb : meter.merCeilingDb)),
    floorDbmv: column((index) => {
      const bandMhz = isAnalogue[index] ? ANALOGUE_NOISE_BAND_MHZ : channels[index]!.widthMhz;
      return THERMAL_FLOOR_DBMV_PER_MHZ + 10 * Math.log10(bandMhz);
    }),
  };
}

function ratio(carrierToNoiseDb: number): number {
  return 10 ** (-carrierToNoiseDb / 10);
}

function round(freqMhz: number): number {
  return Math.round(freqMhz * 10_000) / 10_000;
}
