import { bandFit } from './bandFit.ts';
import { bandOf } from './channels/band.ts';
import type { ChannelTrend, OpenConclusion } from './channels/channelTrend.ts';
import { explainedDb } from './channels/deviations.ts';
import { fitShape } from './channels/fitShape.ts';
import { shapeValues } from './channels/shapeValues.ts';
import type { Frame } from './frame.ts';
import { thousandths } from './rounding.ts';
import type { Features, Observation } from './types.ts';
import { byFeature } from './types.ts';

/**
 * A shape that lies nearly all within level, tilt, bow and low end is known only by the little that doesn't: how much of these it puts on
 * the band can't be told. Common practice, no source.
 */
const LEAST_OWN_SHARE = 0.1;

/**
 * A sweep's features without what is told of single channels: a suck-out or an echo also bends the band as a whole, by a share of its
 * size, and that is no corroded contact and no longer cable.
 */
export function clearOfChannels(
  { features, levelRestDb, atMs }: Observation,
  frame: Frame,
  channels: ChannelTrend,
): Features<number | null> | null {
  if (features === null || channels.conclusions.length === 0) return features;
  const band = bandOf(frame.freqMhz, frame.channelNames);
  const clear = channels.conclusions.filter(
    (open) => open.metric === 'level' && channels.channels === band.key && isOfItsOwn(open),
  );
  const explained = explainedDb(band, clear, 'level', atMs, atMs);
  if (explained === null) return features;

  const { basis } = frame;
  const { level, tilt, bow, lowEnd } = features as Features;
  const change = levelRestDb.map((rest, i) =>
    rest === null
      ? null
      : rest +
        level +
        tilt * (basis.line[i]! - basis.toMiddle) +
        bow * basis.bow[i]! +
        lowEnd * basis.lowEnd[i]!,
  );
  band.carrier.forEach((carrier, k) => {
    if (change[carrier] != null) change[carrier] -= explained[k]!;
  });
  const fit = bandFit(change, frame);
  return fit === null
    ? features
    : { ...features, ...fit.features, tilt: features.tilt === null ? null : fit.features.tilt };

  function isOfItsOwn({ shape }: OpenConclusion): boolean {
    const values = shapeValues(band, shape);
    const { energy } = fitShape(band, values, values);
    return energy >= LEAST_OWN_SHARE * values.reduce((sum, value) => sum + value * value, 0);
  }
}

/** What was taken out, dB; null when nothing was. */
export function clearedDb(before: Features<number | null>, after: Features<number | null>): Features | null {
  if (before === after) return null;
  return byFeature((feature) => thousandths((before[feature] ?? 0) - (after[feature] ?? 0)));
}
