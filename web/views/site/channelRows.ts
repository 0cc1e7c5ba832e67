import { type BandChannel, outsideLimits } from '../../charts/bandColumns.ts';

export type SortKey =
  | 'channel'
  | 'services'
  | 'freqMhz'
  | 'modulation'
  | 'thenLevelDbmv'
  | 'nowLevelDbmv'
  | 'deviationDb'
  | 'nowMerDb'
  | 'marginDb'
  | 'outside';

/** A sorted copy: figures by size, names as people count ("S2" before "S10"); what is missing comes last. */
export function sortChannels(
  channels: readonly BandChannel[],
  key: SortKey,
  falling: boolean,
): BandChannel[] {
  const turn = falling ? -1 : 1;
  return [...channels].sort((a, b) => {
    const left = sortValue(a, key);
    const right = sortValue(b, key);
    if (left === null || right === null) return Number(left === null) - Number(right === null);
    return turn * compare(left, right) || a.freqMhz - b.freqMhz;
  });
}

function sortValue(channel: BandChannel, key: SortKey): string | number | null {
  if (key === 'services') return channel.services[0]?.number ?? null;
  if (key === 'nowMerDb') return channel.nowMerDb ?? channel.nowCnrDb;
  if (key === 'outside')
    return channel.lost ? 0 : outsideLimits(channel) ? 1 : channel.standing === 'left-plan' ? 2 : 3;
  return channel[key];
}

function compare(a: string | number, b: string | number): number {
  if (typeof a === 'number' && typeof b === 'number') return a - b;
  return String(a).localeCompare(String(b), 'en', { numeric: true });
}

const CSV_HEAD =
  'rf_channel,plan,viewer_numbers,freq_mhz,modulation,then_dbmv,then_spread_db,now_dbmv,change_db,then_mer_db,now_mer_db,now_cnr_db,margin_db,lost,outside_limits';

/** The table as CSV (RFC 4180): full precision, units in the heading, empty where nothing was measured. */
export function channelCsv(channels: readonly BandChannel[]): string {
  const lines = channels.map((c) =>
    [
      c.channel,
      c.standing,
      c.services.map((service) => service.number).join(' '),
      c.freqMhz,
      c.modulation,
      c.thenLevelDbmv,
      c.thenSpreadDb,
      c.nowLevelDbmv,
      c.deviationDb,
      c.thenMerDb,
      c.nowMerDb,
      c.nowCnrDb,
      c.marginDb,
      c.lost,
      outsideLimits(c),
    ]
      .map(csvCell)
      .join(','),
  );
  return [CSV_HEAD, ...lines, ''].join('\r\n');
}

/** Quoted where needed; text that a spreadsheet would take for a formula gets an apostrophe. */
function csvCell(value: string | number | boolean | null): string {
  if (value === null) return '';
  if (typeof value !== 'string') return String(value);
  const safe = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
