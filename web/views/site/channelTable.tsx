import { useMemo, useState } from 'preact/hooks';
import type { BandView } from '../../../api/schemas/site.ts';
import { type BandChannel, outsideLimits } from '../../charts/bandColumns.ts';
import { formatChange, formatMhz, formatNumber } from '../../format.ts';
import { ScrollRegion } from '../../parts/scrollRegion.tsx';
import { saveFile } from '../../saveFile.ts';
import { MODULATION_WORD } from '../../words.ts';
import { channelCsv, type SortKey, sortChannels } from './channelRows.ts';
import { leftPlan } from './leftPlan.ts';

interface Column {
  readonly key: SortKey;
  readonly title: string;
  readonly figure: boolean;
  readonly show: (channel: BandChannel, timeZone: string) => string;
}

const COLUMNS: readonly Column[] = [
  { key: 'channel', title: 'RF channel', figure: false, show: (c) => c.channel ?? 'outside the plan' },
  {
    key: 'services',
    title: 'Viewers’ numbers',
    figure: false,
    show: (c) => c.services.map((s) => s.number).join(', ') || '–',
  },
  { key: 'freqMhz', title: 'MHz', figure: true, show: (c) => formatMhz(c.freqMhz) },
  {
    key: 'modulation',
    title: 'Modulation',
    figure: false,
    show: (c) => (c.modulation ? MODULATION_WORD[c.modulation] : '–'),
  },
  { key: 'thenLevelDbmv', title: 'Then, dBmV', figure: true, show: (c) => formatNumber(c.thenLevelDbmv) },
  {
    key: 'nowLevelDbmv',
    title: 'Now, dBmV',
    figure: true,
    show: (c) => (c.lost ? '✕ lost' : formatNumber(c.nowLevelDbmv)),
  },
  { key: 'deviationDb', title: 'Change, dB', figure: true, show: (c) => formatChange(c.deviationDb) },
  {
    key: 'nowMerDb',
    title: 'MER or CNR, dB',
    figure: true,
    show: (c) => formatNumber(c.nowMerDb ?? c.nowCnrDb),
  },
  { key: 'marginDb', title: 'Margin, dB', figure: true, show: (c) => formatNumber(c.marginDb) },
  {
    key: 'outside',
    title: 'Limits',
    figure: false,
    show: limitsWord,
  },
];

function limitsWord(channel: BandChannel, timeZone: string): string {
  if (channel.standing === 'left-plan') return leftPlan(channel, timeZone);
  if (channel.lost) return 'lost';
  if (outsideLimits(channel)) return '◆ outside';
  const judged = channel.levelMinDbmv !== null || channel.levelMaxDbmv !== null || channel.marginDb !== null;
  return judged && channel.nowLevelDbmv !== null ? 'within' : '–';
}

interface ChannelTableProps {
  band: BandView;
  timeZone: string;
  fileName: string;
}

/** The figures behind the picture; any column sorts, and all of it can be taken away. */
export function ChannelTable({ band, timeZone, fileName }: ChannelTableProps) {
  const [sort, setSort] = useState<{ key: SortKey; falling: boolean }>({ key: 'freqMhz', falling: false });
  const rows = useMemo(() => sortChannels(band.channels, sort.key, sort.falling), [band, sort]);
  const sortBy = (key: SortKey) => setSort((old) => ({ key, falling: old.key === key && !old.falling }));
  return (
    <section class="panel" aria-labelledby="channels-title">
      <div class="section-head">
        <h3 id="channels-title">Channels ({band.channels.length})</h3>
        <button type="button" class="small no-print" onClick={() => saveFile(fileName, channelCsv(rows))}>
          Save as CSV
        </button>
      </div>
      <p class="quiet small-print scroll-hint no-print">
        More columns to the right: scroll the table sideways <span aria-hidden="true">→</span>
      </p>
      <ScrollRegion class="channel-table" label="Channels">
        <table>
          <thead>
            <tr>
              {COLUMNS.map(({ key, title, figure }) => (
                <th
                  key={key}
                  class={figure ? 'figure' : ''}
                  aria-sort={sort.key === key ? (sort.falling ? 'descending' : 'ascending') : 'none'}
                >
                  <button type="button" class="plain sort" onClick={() => sortBy(key)}>
                    {title}
                    <span aria-hidden="true">{sort.key === key ? (sort.falling ? ' ↓' : ' ↑') : ''}</span>
                  </button>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((channel) => (
              <tr key={channel.freqMhz} class={channel.lost || outsideLimits(channel) ? 'is-outside' : ''}>
                {COLUMNS.map(({ key, figure, show }) => (
                  <td key={key} class={figure ? 'figure' : ''}>
                    {show(channel, timeZone)}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollRegion>
    </section>
  );
}
