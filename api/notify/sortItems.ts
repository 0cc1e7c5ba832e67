import type { ChangeFact } from './alertFact.ts';
import { standingAt } from './standing.ts';
import type { Telling } from './tellingsOf.ts';

export interface Item {
  readonly telling: Pick<Telling, 'what' | 'alertId' | 'openingId' | 'step'>;
  readonly changes: readonly ChangeFact[];
  /** Whether the target was told that this episode began, by an earlier message. */
  readonly toldBefore: boolean;
}

/** What a message says of its alerts; each alert stands in one list. */
export interface SortedItems<T> {
  readonly open: readonly T[];
  readonly worse: readonly T[];
  readonly returned: readonly T[];
  /** Began and ended while the message waited. */
  readonly cameAndWent: readonly T[];
  /** Acknowledged or set aside by somebody while the message waited. */
  readonly inHand: readonly T[];
}

type Place = keyof SortedItems<unknown>;
const ORDER: readonly Place[] = ['open', 'worse', 'inHand', 'cameAndWent', 'returned'];

/** Sorts what a message was to tell by what is still true at `atMs`, so that nothing old is told as if it were new. */
export function sortItems<T extends Item>(items: readonly T[], atMs: number): SortedItems<T> {
  const lists: Record<Place, T[]> = { open: [], worse: [], returned: [], cameAndWent: [], inHand: [] };
  const byAlert = Map.groupBy(items, ({ telling }) => telling.alertId);
  for (const all of byAlert.values()) {
    const placed = all.map((item) => ({ item, place: placeOf(item, all, atMs) }));
    const place = ORDER.find((wanted) => placed.some((candidate) => candidate.place === wanted));
    const found = placed.find((candidate) => candidate.place === place);
    if (place && found) lists[place].push(found.item);
  }
  return lists;
}

/** Whether a message is worth sending: one that quiet hours held back also says what came and went. */
export function hasNews(sorted: SortedItems<unknown>, held: boolean): boolean {
  const { open, worse, returned, cameAndWent, inHand } = sorted;
  const fresh = open.length + worse.length + returned.length;
  return fresh > 0 || (held && cameAndWent.length + inHand.length > 0);
}

function placeOf(item: Item, all: readonly Item[], atMs: number): Place | null {
  const { what, openingId } = item.telling;
  const standing = standingAt(item.changes, atMs);
  const sameEpisode = standing.openingId === openingId;
  const startsHere = all.some(
    (other) => other.telling.what === 'open' && other.telling.openingId === openingId,
  );
  if (what === 'returned') {
    if (startsHere || !item.toldBefore) return null;
    return sameEpisode && standing.active ? null : 'returned';
  }
  if (!sameEpisode || !standing.active) return what === 'open' ? 'cameAndWent' : null;
  if (standing.held) return 'inHand';
  if (what === 'worse') return startsHere ? null : 'worse';
  return standing.acknowledged ? 'inHand' : 'open';
}
