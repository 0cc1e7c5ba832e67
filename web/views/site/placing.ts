import type { FindingView } from '../../../api/schemas/common.ts';
import type { TroubleView } from '../../../api/schemas/silence.ts';
import type { PointView, SiteView } from '../../../api/schemas/site.ts';
import { plural } from '../../format.ts';

/** What people call a point: its label, or its short name where it has none. */
export function pointTitle(point: Pick<PointView, 'name' | 'label'>): string {
  return point.label || point.name;
}

/** The open finding to act on first: one that is large enough and nothing upstream explains, highest up the tree. */
export function leadingFinding(view: SiteView): FindingView | null {
  const depth = new Map(view.points.map((point) => [point.pointId, point.depth]));
  const open = view.findings.filter(
    ({ closedAt, explainedBy, withinFloor }) => closedAt === null && explainedBy === null && !withinFloor,
  );
  open.sort((a, b) => (depth.get(a.pointId) ?? 0) - (depth.get(b.pointId) ?? 0));
  return open[0] ?? null;
}

/** The point whose picture opens by itself: where the leading finding is, otherwise the handoff. */
export function pointToOpen(view: SiteView): number | null {
  return leadingFinding(view)?.pointId ?? view.points[0]?.pointId ?? null;
}

/** "between Gear output and Riser amplifier", or the provider's side of the handoff. */
export function hopInWords(view: SiteView, hop: FindingView['hop']): string {
  const title = (name: string) => {
    const point = view.points.find((candidate) => candidate.name === name);
    return point ? pointTitle(point) : name;
  };
  if (hop.from === null) return `at or before ${title(hop.to)}, where the provider’s feed comes in`;
  return `between ${title(hop.from)} and ${title(hop.to)}`;
}

/** What lies in the hop, as set up: "62 m series 11". */
export function hopNote(view: SiteView, hop: FindingView['hop']): string {
  return view.points.find((point) => pointTitle(point) === hop.to)?.hopNote ?? '';
}

/** Whether what is read at a point has changed, and not only how its sweeps come. */
function hasChanged(view: SiteView, point: PointView): boolean {
  if (point.verdict !== 'watch') return point.verdict === 'act';
  const isFound = view.findings.some(
    ({ pointId, closedAt, withinFloor }) => pointId === point.pointId && closedAt === null && !withinFloor,
  );
  return isFound || !hasTrouble(view, point);
}

function hasTrouble({ troubles }: SiteView, { pointId }: PointView, kind?: TroubleView['kind']): boolean {
  return troubles.some(
    (trouble) => trouble.pointIds.includes(pointId) && (kind ?? trouble.kind) === trouble.kind,
  );
}

/**
 * The handoff is judged before anything below it: whether the provider's feed is fine, the cause,
 * or can't be told.
 */
export function judgeHandoff(view: SiteView): { word: 'fine' | 'cause' | 'unknown'; sentence: string } {
  const handoff = view.points.find((point) => point.kind === 'handoff');
  if (!handoff)
    return {
      word: 'unknown',
      sentence: 'This site has no handoff point, so the provider’s feed can’t be judged.',
    };
  if (handoff.verdict === 'no-baseline') {
    return {
      word: 'unknown',
      sentence:
        'The handoff has no accepted baseline, so the provider’s feed can’t be held against anything yet.',
    };
  }
  if (handoff.verdict === 'silent') {
    return { word: 'unknown', sentence: 'The handoff is silent, so the provider’s feed can’t be judged.' };
  }
  if (hasTrouble(view, handoff, 'frozen')) {
    return {
      word: 'unknown',
      sentence: 'The readings of the handoff are frozen, so the provider’s feed can’t be judged.',
    };
  }
  if (!hasChanged(view, handoff)) {
    const below = view.points.some((point) => hasChanged(view, point));
    const outside = handoff.latest?.breaches.length ?? 0;
    const feed =
      outside === 0
        ? 'The provider’s feed is fine: the handoff holds its baseline.'
        : `The provider’s feed has not changed: the handoff holds its baseline, though ${plural(outside, 'reading')} there ${outside === 1 ? 'lies' : 'lie'} outside the limits agreed.`;
    return { word: 'fine', sentence: `${feed}${below ? ' What changed lies inside the building.' : ''}` };
  }
  return {
    word: 'cause',
    sentence:
      'The provider’s feed has changed: it shows at the handoff already. Nothing below can be judged until the feed is right; report it and leave the building’s gear alone.',
  };
}
