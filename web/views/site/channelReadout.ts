import type { BandChannel } from '../../charts/bandColumns.ts';
import { formatChange, formatMhz, formatWithUnit } from '../../format.ts';
import { MODULATION_WORD } from '../../words.ts';

/** One channel in one line: which it is, what viewers call it, what it reads. */
export function channelReadout(channel: BandChannel): string {
  const name = channel.channel === null ? 'Outside the plan' : `RF ${channel.channel}`;
  const services = channel.services.map((service) => service.number).join(', ');
  const quality =
    channel.nowMerDb !== null
      ? `MER ${formatWithUnit(channel.nowMerDb, 'dB')}`
      : channel.nowCnrDb !== null && `CNR ${formatWithUnit(channel.nowCnrDb, 'dB')}`;
  return [
    name,
    `${formatMhz(channel.freqMhz)} MHz`,
    channel.modulation && MODULATION_WORD[channel.modulation],
    services && `viewers’ ${services}`,
    channel.thenLevelDbmv !== null && `then ${formatWithUnit(channel.thenLevelDbmv, 'dBmV')}`,
    channel.lost ? 'now lost' : `now ${formatWithUnit(channel.nowLevelDbmv, 'dBmV')}`,
    channel.deviationDb !== null && `change ${formatChange(channel.deviationDb)} dB`,
    quality,
    channel.marginDb !== null && `margin ${formatWithUnit(channel.marginDb, 'dB')}`,
  ]
    .filter(Boolean)
    .join(' · ');
}
