/** A person complains some time after it began to be bad: what ended within this time before still counts. Common practice, no source. */
const RECENT_MS = 24 * 3_600_000;
/** Changes from baseline below this are what any installation does in a day, dB. Common practice, no source. */
const SEEN_FROM_DB = 1;

/** What was said, as far as the readings can answer it. */
export interface ComplaintFacts {
  readonly seenMs: number;
  /** The point and those upstream of it; null when nobody knows the point: then any of the site. */
  readonly path: ReadonlySet<number> | null;
  /** Null when it wasn't one channel, or isn't known. */
  readonly rfChannel: string | null;
}

/** An alert or a finding of the site, with where it was seen. */
export interface KnownTrouble {
  readonly source: 'alert' | 'finding';
  /** When a person could first have known. */
  readonly toldMs: number;
  readonly onsetMs: number;
  /** Null while it stands. */
  readonly overMs: number | null;
  /** Too small to act on, so nobody is told. */
  readonly small: boolean;
  /** Where; null is everywhere at the site. Channels are null where the whole band is meant. */
  readonly places:
    | readonly { readonly pointId: number; readonly channels: readonly string[] | null }[]
    | null;
  readonly title: string;
  readonly alertId: number | null;
}

/** Largest change from baseline at one point in the hours before the complaint, dB. */
export interface HoursBefore {
  readonly pointId: number;
  readonly levelDevDb: number | null;
  readonly tiltDevDb: number | null;
}

export type Judgement =
  | { readonly verdict: 'warned'; readonly leadMs: number; readonly by: KnownTrouble }
  /** Found only later, too small to tell, or a change from baseline below every threshold. */
  | {
      readonly verdict: 'below-notice';
      readonly by: KnownTrouble | null;
      readonly deviationDb: number | null;
    }
  /** `read` says whether there were readings at all that could have shown it. */
  | { readonly verdict: 'not-seen'; readonly read: boolean };

/**
 * What the product knew when a viewer saw it: warned before (the earliest warning that stood then gives the lead time), seen but
 * below notice, or not seen. An alert goes before a finding, since it is what people are told.
 */
export function judgeComplaint(
  complaint: ComplaintFacts,
  troubles: readonly KnownTrouble[],
  hours: readonly HoursBefore[],
): Judgement {
  const standing = troubles.filter(
    (trouble) => stoodThen(trouble, complaint) && concerns(trouble, complaint),
  );
  const warnings = standing.filter(({ toldMs, small }) => toldMs <= complaint.seenMs && !small);
  const alerts = warnings.filter(({ source }) => source === 'alert');
  const warning = earliest(alerts) ?? earliest(warnings);
  if (warning !== null) {
    return { verdict: 'warned', leadMs: complaint.seenMs - warning.toldMs, by: warning };
  }

  const there = hours.filter(({ pointId }) => complaint.path === null || complaint.path.has(pointId));
  const deviationDb = largestDeviation(there);
  const later = earliest(standing);
  if (later !== null || Math.abs(deviationDb ?? 0) >= SEEN_FROM_DB) {
    return { verdict: 'below-notice', by: later, deviationDb };
  }
  return { verdict: 'not-seen', read: there.length > 0 };
}

function stoodThen({ onsetMs, overMs }: KnownTrouble, { seenMs }: ComplaintFacts): boolean {
  return onsetMs <= seenMs && (overMs === null || overMs > seenMs - RECENT_MS);
}

function concerns({ places }: KnownTrouble, { path, rfChannel }: ComplaintFacts): boolean {
  if (places === null) return true;
  return places.some(({ pointId, channels }) => {
    const isThere = path === null || path.has(pointId);
    return isThere && (channels === null || rfChannel === null || channels.includes(rfChannel));
  });
}

function earliest(troubles: readonly KnownTrouble[]): KnownTrouble | null {
  return troubles.toSorted((a, b) => a.toldMs - b.toldMs)[0] ?? null;
}

/** The largest by size, with its sign; null where nothing was compared. */
function largestDeviation(hours: readonly HoursBefore[]): number | null {
  const known = hours
    .flatMap(({ levelDevDb, tiltDevDb }) => [levelDevDb, tiltDevDb])
    .filter((value) => value !== null);
  return known.toSorted((a, b) => Math.abs(b) - Math.abs(a))[0] ?? null;
}
