// biome-ignore-all lint/a11y/useSemanticElements: rows are placed by position, which elements of a table cannot be.
// biome-ignore-all lint/a11y/useFocusableInteractive: the link in each row takes the focus.
import { memo } from 'preact/compat';
import type { FleetRow } from '../../../api/schemas/fleet.ts';
import { formatAgo, formatDaysLeft, formatOutletDays, formatShortDay, plural } from '../../format.ts';
import { BandStrip } from '../../parts/bandStrip.tsx';
import { Link } from '../../parts/link.tsx';
import { VerdictMark } from '../../parts/verdictMark.tsx';
import { SIDE_WORD } from '../../words.ts';

interface FleetRowProps {
  row: FleetRow;
  index: number;
  lowMhz: number;
  highMhz: number;
}

function FleetRowView({ row, index, lowMhz, highMhz }: FleetRowProps) {
  return (
    <div class={`fleet-row is-${row.verdict}`} role="row" aria-rowindex={index + 2} data-index={index}>
      <span class="fleet-rank" role="cell">
        {row.rank}
      </span>
      <span class="fleet-site" role="cell">
        <Link href={`/sites/${row.siteId}`} class="fleet-link">
          {row.name}
        </Link>
        <span class="quiet">
          {row.town}
          {row.town && ', '}
          {plural(row.outlets, 'outlet')}
        </span>
      </span>
      <span class="fleet-why" role="cell" title={row.sentence}>
        <VerdictMark verdict={row.verdict} />{' '}
        {row.alerts > 0 && <span class="fleet-alerts">{plural(row.alerts, 'alert')}</span>} {row.sentence}
      </span>
      <span class="fleet-risk" role="cell" data-label="outlet-days at risk">
        <strong>{formatOutletDays(row.outletDays)}</strong>
      </span>
      <span class="fleet-since" role="cell" data-label="since">
        <Since row={row} />
      </span>
      <span
        class={row.daysToLimit === null ? 'fleet-left is-none' : 'fleet-left'}
        role="cell"
        data-label="limit:"
      >
        {formatDaysLeft(row.daysToLimit)}
      </span>
      <span class="fleet-side" role="cell">
        <span class="fleet-side-word">{row.side === null ? '–' : SIDE_WORD[row.side]}</span>
        <span class="quiet">{row.provider ?? 'no provider'}</span>
      </span>
      <span class="fleet-strip" role="cell">
        <BandStrip shown={row} lowMhz={lowMhz} highMhz={highMhz} />
      </span>
    </div>
  );
}

function Since({ row }: { row: FleetRow }) {
  if (row.since === null) return <>–</>;
  return (
    <time dateTime={row.since}>
      {formatShortDay(row.since, row.timeZone)} <span class="quiet">{formatAgo(row.since, Date.now())}</span>
    </time>
  );
}

/** One ranked site; renders again only when its row does. */
export const FleetRowLine = memo(FleetRowView);

/** Stands in for a row that is still on its way. */
export function FleetRowWaiting({ index }: { index: number }) {
  return (
    <div class="fleet-row is-waiting" role="row" aria-rowindex={index + 2}>
      <span class="fleet-rank" role="cell">
        {index + 1}
      </span>
      <span class="fleet-site quiet" role="cell">
        Loading…
      </span>
    </div>
  );
}
