import type { PlannedChannel } from './channelPlan.ts';

/** One thing wrong with a plan, where it is, and how to mend it. */
export interface PlanProblem {
  /** Such as "channels[3].centreMhz". */
  readonly path: string;
  readonly problem: string;
  readonly fix: string;
}

const LOWEST_MHZ = 5;
const HIGHEST_MHZ = 2000;
const NARROWEST_MHZ = 0.1;
const WIDEST_CHANNEL_MHZ = 10;
const WIDEST_BLOCK_MHZ = 192;
/** Offset carriers reach 25 kHz into their neighbours; HRC against STD edges drift by less. */
const OVERLAP_SLACK_MHZ = 0.05;

/**
 * What a person must mend before their own plan can be used: a missing name, numbers out of range, names used
 * twice, channels that overlap, services without a number. Empty when the plan is sound.
 *
 * @param channels in any order
 */
export function validatePlanChannels(channels: readonly PlannedChannel[]): PlanProblem[] {
  if (channels.length === 0) {
    return [{ path: 'channels', problem: 'the plan has no channels', fix: 'add at least one' }];
  }
  return [...channels.flatMap(channelProblems), ...repeatedNames(channels), ...overlaps(channels)];
}

function channelProblems(channel: PlannedChannel, index: number): PlanProblem[] {
  const { centreMhz, widthMhz, modulation } = channel;
  const at = `channels[${index}]`;
  const problems: PlanProblem[] = [];
  if (channel.channel.trim() === '') {
    problems.push({
      path: `${at}.channel`,
      problem: 'the channel has no name',
      fix: 'name it, such as "78"',
    });
  }

  const widest = modulation === 'ofdm' ? WIDEST_BLOCK_MHZ : WIDEST_CHANNEL_MHZ;
  if (!(widthMhz >= NARROWEST_MHZ && widthMhz <= widest)) {
    problems.push({
      path: `${at}.widthMhz`,
      problem: `a width of ${widthMhz} MHz is out of range`,
      fix: `give ${NARROWEST_MHZ} to ${widest} MHz${modulation === 'ofdm' ? '' : ', or modulation "ofdm" for a wider block'}`,
    });
  } else if (!(centreMhz - widthMhz / 2 >= LOWEST_MHZ && centreMhz + widthMhz / 2 <= HIGHEST_MHZ)) {
    problems.push({
      path: `${at}.centreMhz`,
      problem: `a channel of ${widthMhz} MHz at ${centreMhz} MHz reaches beyond ${LOWEST_MHZ} to ${HIGHEST_MHZ} MHz`,
      fix: 'give the centre in MHz, not in kHz or Hz',
    });
  }
  channel.services.forEach((service, s) => {
    if (service.number.trim() !== '') return;
    problems.push({
      path: `${at}.services[${s}].number`,
      problem: 'the service has no number',
      fix: 'give the number that viewers dial, such as "7.1"',
    });
  });
  return problems;
}

function repeatedNames(channels: readonly PlannedChannel[]): PlanProblem[] {
  const first = new Map<string, number>();
  return channels.flatMap(({ channel }, index) => {
    const earlier = first.get(channel);
    if (earlier === undefined) {
      first.set(channel, index);
      return [];
    }
    return [
      {
        path: `channels[${index}].channel`,
        problem: `channel ${channel} is already channels[${earlier}]`,
        fix: 'remove one of the two or give it another name',
      },
    ];
  });
}

function overlaps(channels: readonly PlannedChannel[]): PlanProblem[] {
  const placed = channels
    .map((channel, index) => ({ ...channel, index }))
    .filter(({ centreMhz, widthMhz }) => Number.isFinite(centreMhz) && Number.isFinite(widthMhz))
    .sort((a, b) => a.centreMhz - a.widthMhz / 2 - (b.centreMhz - b.widthMhz / 2));
  const problems: PlanProblem[] = [];
  let reaching = placed[0];
  for (const channel of placed.slice(1)) {
    if (reaching === undefined) break;
    const overlapMhz =
      reaching.centreMhz + reaching.widthMhz / 2 - (channel.centreMhz - channel.widthMhz / 2);
    if (overlapMhz > OVERLAP_SLACK_MHZ) {
      problems.push({
        path: `channels[${channel.index}].centreMhz`,
        problem: `channel ${channel.channel} overlaps channel ${reaching.channel} by ${Number(overlapMhz.toFixed(4))} MHz`,
        fix: 'check both centres and widths, and that they come from one raster',
      });
    }
    const top = ({ centreMhz, widthMhz }: PlannedChannel): number => centreMhz + widthMhz / 2;
    if (top(channel) > top(reaching)) reaching = channel;
  }
  return problems;
}
