import type { PlannedChannel, PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { matchChannels } from '../../ingest/plan/matchChannels.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';

/** Whether a carrier belongs to the plan; `left-plan` means that it did when the baseline was made. */
export type Standing = 'planned' | 'left-plan' | 'outside-plan';

export interface ChannelStanding {
  readonly standing: Standing;
  /** The channel by the plan in force, or for `left-plan` by the plan at the baseline; null outside the plan. */
  readonly planned: PlannedChannel | null;
  /** When the channel left the plan; null unless it did. */
  readonly leftAtMs: number | null;
}

/** A carrier as far as its standing goes. */
export interface PlacedCarrier {
  readonly freqMhz: number;
  /** By the plan in force. */
  readonly planned: PlannedChannel | null;
  readonly inBaseline: boolean;
}

/**
 * Tells channels that a planned line-up change took away from carriers that no plan knew.
 *
 * @param thenMs when the baseline was made; null without one
 */
export function channelStandings(
  carriers: readonly PlacedCarrier[],
  versions: readonly PlanVersion[],
  thenMs: number | null,
  nowMs: number,
): ChannelStanding[] {
  const then = thenMs === null ? null : planInForce(versions, thenMs);
  const freqMhz = carriers.map((carrier) => carrier.freqMhz);
  const before = then === null ? null : matchChannels(freqMhz, then).channels;
  return carriers.map(({ planned, inBaseline }, i): ChannelStanding => {
    if (planned !== null) return { standing: 'planned', planned, leftAtMs: null };
    const was = before?.[i] ?? null;
    if (was === null || !inBaseline) return { standing: 'outside-plan', planned: null, leftAtMs: null };
    return { standing: 'left-plan', planned: was, leftAtMs: leftAtMs(versions, was, nowMs) };
  });
}

/** The last change of plan that took the channel away from where it was. */
function leftAtMs(versions: readonly PlanVersion[], was: PlannedChannel, nowMs: number): number | null {
  const changes = versions
    .map(({ effectiveFromMs }) => effectiveFromMs)
    .filter((ms) => ms <= nowMs)
    .sort((a, b) => b - a);
  let left: number | null = null;
  for (const ms of changes) {
    if (holds(planInForce(versions, ms), was)) break;
    left = ms;
  }
  return left;
}

function holds(plan: PlanVersion | null, was: PlannedChannel): boolean {
  return (
    plan?.channels.some(({ channel, centreMhz }) => channel === was.channel && centreMhz === was.centreMhz) ??
    false
  );
}
