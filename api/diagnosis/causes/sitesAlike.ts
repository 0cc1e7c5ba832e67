import type { Finding } from '../../trend/types.ts';

/** A finding at another site of the same provider. */
export interface ElsewhereFinding {
  readonly siteId: number;
  readonly kind: Finding['kind'];
  readonly metric: Finding['metric'];
  readonly onsetMs: number;
  readonly sizeDb: number;
}

/** One event of a provider shows at its sites within this time, beyond the onsets' own doubt. Common practice, no source. */
export const SAME_EVENT_MS = 6 * 3_600_000;

/** How many other sites changed in the same way as `finding`, within hours of it. */
export function sitesAlike(finding: Finding, elsewhere: readonly ElsewhereFinding[]): number {
  const alike = elsewhere.filter(
    (other) =>
      other.kind === finding.kind &&
      other.metric === finding.metric &&
      Math.sign(other.sizeDb) === Math.sign(finding.sizeDb) &&
      other.onsetMs >= finding.onsetLowMs - SAME_EVENT_MS &&
      other.onsetMs <= finding.onsetHighMs + SAME_EVENT_MS,
  );
  return new Set(alike.map(({ siteId }) => siteId)).size;
}
