import type { BandChannel } from '../../charts/bandColumns.ts';
import { formatChange, formatMhz, formatWithUnit } from '../../format.ts';
import { MODULATION_WORD } from '../../words.ts';
import { leftPlan } from './leftPlan.ts';

/** One channel in one line: which it is, what viewers call it, what it reads. */
export function channelReadout(channel: BandChannel, timeZone: string): string {
  const name = channel.standing === 'outside-plan' ? 'Outside the plan' : `RF ${channel.channel}`;
  const left = channel.standing === 'left-plan';
  const services = channel.services.map((service) => service.number).join(', ');
  const quality =
    channel.nowMerDb !== null
      ? `MER ${formatWithUnit(channel.nowMerDb, 'dB')}`
      : channel.nowCnrDb !== null && `CNR ${formatWithUnit(channel.nowCnrDb, 'dB')}`;
  return [
    name,
    left && leftPlan(channel, timeZone),
    `${formatMhz(channel.freqMhz)} MHz`,
    channel.modulation && MODULATION_WORD[channel.modulation],
    services && `viewers’ ${services}`,
    channel.thenLevelDbmv !== null && `then ${formatWithUnit(channel.thenLevelDbmv, 'dBmV')}`,
    channel.lost
      ? 'now lost'
      : (!left || channel.nowLevelDbmv !== null) && `now ${formatWithUnit(channel.nowLevelDbmv, 'dBmV')}`,
    channel.deviationDb !== null && `change ${formatChange(channel.deviationDb)} dB`,
    quality,
    channel.marginDb !== null && `margin ${formatWithUnit(channel.marginDb, 'dB')}`,
  ]
    .filter(Boolean)
    .join(' · ');
}
