import { z } from 'zod';
import { planFromRaster } from '../../plan/planFromRaster.ts';
import type { ChannelPlace } from '../../probe/modem/channelPowers.ts';

const RASTERS = ['STD', 'HRC', 'IRC', '8 MHz'] as const;
const MHZ = 'give MHz from 5 to 2000';
const mhz = z
  .number({ error: () => MHZ })
  .min(5, { error: MHZ })
  .max(2000, { error: MHZ });
const WIDTH = 'give the width in MHz, such as 6 or 8';
const width = z
  .number({ error: () => WIDTH })
  .min(0.1, { error: WIDTH })
  .max(200, { error: WIDTH });

const ofRaster = z.strictObject({
  raster: z.enum(RASTERS, { error: () => `give one of ${RASTERS.join(', ')}` }),
  fromMhz: mhz,
  toMhz: mhz,
});
const listed = z.strictObject({
  channels: z
    .array(z.strictObject({ centreMhz: mhz, widthMhz: width }), {
      error: () => 'give a list of {"centreMhz": …, "widthMhz": …}',
    })
    .min(1, { error: 'is empty: name at least one channel' })
    .max(600, { error: 'has more than the 600 channels that a sweep holds' }),
});

/** Channels by a stretch of a raster, `{"raster", "fromMhz", "toMhz"}`, or one by one, `{"channels": […]}`. */
export const spectrumSchema = z
  .union([ofRaster, listed], {
    error: () =>
      'give {"raster": "STD", "fromMhz": 54, "toMhz": 860} or {"channels": [{"centreMhz": …, "widthMhz": …}]}',
  })
  .transform((value, context): ChannelPlace[] => {
    if ('channels' in value) return value.channels;
    try {
      const { raster, fromMhz, toMhz } = value;
      const channels = planFromRaster(raster, { fromMhz, toMhz }, { modulation: 'qam256' });
      if (channels.length > 0) return channels.map(({ centreMhz, widthMhz }) => ({ centreMhz, widthMhz }));
      context.addIssue({ code: 'custom', message: 'holds no whole channel of the raster: widen it' });
    } catch (error) {
      context.addIssue({ code: 'custom', message: error instanceof Error ? error.message : String(error) });
    }
    return z.NEVER;
  });
