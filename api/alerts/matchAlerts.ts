import type { AlertRow } from '../../ingest/store/schema.ts';
import { likenessOf } from './causeKey.ts';
import type { Condition } from './conditions.ts';
import { BACK_WITHIN_MS } from './delays.ts';

const HOUR_MS = 3_600_000;
/** What begins within this time in one hop has one cause. Common practice, no source. */
const SAME_CAUSE_MS = 2 * HOUR_MS;
/** So far an onset may move beyond its own interval when the engine comes back to it. A slow one moves further. */
const SUDDEN_SLACK_MS = 6 * HOUR_MS;
const SLOW_SLACK_MS = 7 * 24 * HOUR_MS;

/** An alert, and the findings that it told of last. */
export interface KnownAlert {
  readonly row: AlertRow;
  readonly findings: readonly { readonly event: number; readonly pointId: number }[];
}

export interface Matched {
  /** The conditions that each alert tells of, by its number. */
  readonly byAlert: ReadonlyMap<number, readonly Condition[]>;
  readonly unmatched: readonly Condition[];
}

/**
 * Which alert each condition belongs to. A replay of the engine may number its events anew and move an onset or a hop a little, so the
 * number of an event is only the strongest of the signs:
 *
 * 1. the same event, alike, with an onset near;
 * 2. the same cause key with an onset near;
 * 3. alike with an onset near, in a hop that either finds as likely;
 * 4. the same cause key after the alert's condition ended, within {@link BACK_WITHIN_MS}: back again;
 * 5. another sign of one cause: the same hop, begun within {@link SAME_CAUSE_MS} of it.
 *
 * `alerts` are those of one site that are open or closed within {@link BACK_WITHIN_MS}.
 */
export function matchAlerts(conditions: readonly Condition[], alerts: readonly KnownAlert[]): Matched {
  const byAlert = new Map<number, Condition[]>();
  const unmatched: Condition[] = [];
  for (const condition of conditions) {
    const best = bestMatch(condition, alerts);
    if (best === null) unmatched.push(condition);
    else byAlert.set(best.row.alert_id, [...(byAlert.get(best.row.alert_id) ?? []), condition]);
  }
  return { byAlert, unmatched };
}

function bestMatch(condition: Condition, alerts: readonly KnownAlert[]): KnownAlert | null {
  let best: KnownAlert | null = null;
  let most = 0;
  for (const alert of alerts) {
    const weight = likelihood(condition, alert);
    if (weight > most) [best, most] = [alert, weight];
  }
  return best;
}

/** 0 when they have nothing to do with each other; else the stronger sign the larger. */
function likelihood(condition: Condition, { row, findings }: KnownAlert): number {
  const sameKey = row.cause_key === condition.causeKey;
  if (condition.hopTo === null || row.hop_to === null) return sameKey ? 4 : 0;

  const alike = sameKey || likenessOf(row.cause_key) === likenessOf(condition.causeKey);
  const near = isNear(condition, row);
  if (alike && near) {
    if (condition.findings.some(({ event }) => findings.some((known) => known.event === event))) return 5;
    if (sameKey) return 4;
    if (condition.alsoPossible.includes(row.hop_to) || condition.pointIds.includes(row.hop_to)) return 3;
  }
  if (sameKey && row.gone_at !== null) {
    const apartMs = condition.onsetHighMs - row.gone_at.getTime();
    if (apartMs >= 0 && condition.onsetLowMs - row.gone_at.getTime() <= BACK_WITHIN_MS) return 2;
  }
  const isSameHop = row.hop_to === condition.hopTo && row.closed_at === null;
  return isSameHop && Math.abs(row.onset_at.getTime() - condition.onsetMs) <= SAME_CAUSE_MS ? 1 : 0;
}

function isNear(condition: Condition, row: AlertRow): boolean {
  const slackMs = condition.findings.some(({ kind }) => kind === 'drift') ? SLOW_SLACK_MS : SUDDEN_SLACK_MS;
  return (
    condition.onsetLowMs <= row.onset_high_at.getTime() + slackMs &&
    condition.onsetHighMs >= row.onset_low_at.getTime() - slackMs
  );
}
