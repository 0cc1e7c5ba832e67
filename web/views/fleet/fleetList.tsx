// biome-ignore-all lint/a11y/useSemanticElements: rows are placed by position, which elements of a table cannot be.
// biome-ignore-all lint/a11y/useFocusableInteractive: the link in each row takes the focus.
import { useEffect, useRef } from 'preact/hooks';
import { formatMhz } from '../../format.ts';
import { STRIP_RANGE_DB } from '../../parts/stripShape.ts';
import { useMedia } from '../../useMedia.ts';
import { useWindow } from '../../useWindow.ts';
import { FleetRowLine, FleetRowWaiting } from './fleetRow.tsx';
import type { FleetPages } from './useFleetPages.ts';

/** Heights in px; the style sheet gives rows the same. */
const ROW_HEIGHT = 108;
const CARD_HEIGHT = 264;
export const CARDS_BELOW = '(max-width: 1079px)';

/** The ranked list: only the rows in view are in the page, so thousands scroll as ten do. */
export function FleetList({ pages }: { pages: FleetPages }) {
  const list = useRef<HTMLDivElement>(null);
  const asCards = useMedia(CARDS_BELOW);
  const rowHeight = asCards ? CARD_HEIGHT : ROW_HEIGHT;
  const count = pages.page?.total ?? 0;
  const { first, end } = useWindow(list, count, rowHeight);
  const lowMhz = pages.page?.stripLowMhz ?? 0;
  const highMhz = pages.page?.stripHighMhz ?? 0;

  useEffect(() => pages.want(first, end), [pages.want, first, end]);

  const indexes = Array.from({ length: Math.max(0, Math.min(end, count) - first) }, (_, i) => first + i);
  return (
    <div class="fleet-table" role="table" aria-label="Sites ranked by risk" aria-rowcount={count + 1}>
      <div class="fleet-head" role="row" aria-rowindex={1}>
        <span role="columnheader">Rank</span>
        <span role="columnheader">Site</span>
        <span role="columnheader">What and why</span>
        <span role="columnheader" class="is-figure">
          Outlet-days at risk, 14 days
        </span>
        <span role="columnheader">Since</span>
        <span role="columnheader">Left until a limit</span>
        <span role="columnheader">Whose side</span>
        <span role="columnheader">
          Change from baseline, {formatMhz(lowMhz)}–{formatMhz(highMhz)} MHz, ±{STRIP_RANGE_DB} dB (✕ channel
          lost)
        </span>
      </div>
      <div
        ref={list}
        class="fleet-rows"
        role="rowgroup"
        style={{ height: `${count * rowHeight}px` }}
        onKeyDown={moveAlong}
      >
        <div class="fleet-shown" style={{ transform: `translateY(${first * rowHeight}px)` }}>
          {indexes.map((index) => {
            const row = pages.rowAt(index);
            return row ? (
              <FleetRowLine key={row.siteId} row={row} index={index} lowMhz={lowMhz} highMhz={highMhz} />
            ) : (
              <FleetRowWaiting key={`waiting-${index}`} index={index} />
            );
          })}
        </div>
      </div>
    </div>
  );
}

const STEPS: Readonly<Record<string, number>> = { ArrowDown: 1, j: 1, ArrowUp: -1, k: -1 };

/** Arrow keys (or j and k) walk from site to site. */
function moveAlong(event: KeyboardEvent & { currentTarget: HTMLElement }): void {
  const step = STEPS[event.key];
  const here = (event.target as HTMLElement).closest<HTMLElement>('[data-index]');
  if (step === undefined || !here || event.ctrlKey || event.metaKey || event.altKey) return;
  const index = Number(here.dataset['index']) + step;
  const next = event.currentTarget.querySelector<HTMLElement>(`[data-index="${index}"] a`);
  if (!next) return;
  event.preventDefault();
  next.focus();
}
