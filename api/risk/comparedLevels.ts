import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { matchChannels } from '../../ingest/plan/matchChannels.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import { unchangedChannels } from '../../ingest/plan/unchangedChannels.ts';

/** A baseline's carriers, as the store has them. */
export interface StoredLevels {
  readonly to_at: Date;
  readonly freq_hz: readonly number[];
  readonly level_cdbmv: readonly (number | null)[];
}

/**
 * Baseline levels, dBmV by Hz, of the carriers that may be compared now: a channel that the plan defines otherwise since
 * then, or that left it, would make a planned line-up change look like a fault. All of them where no plan was in force.
 */
export function comparedLevels(
  baseline: StoredLevels,
  versions: readonly PlanVersion[],
  nowMs: number,
): Map<number, number> {
  const isCompared = comparison(baseline, versions, nowMs);
  const levels = new Map<number, number>();
  baseline.freq_hz.forEach((hz, i) => {
    const level = baseline.level_cdbmv[i];
    if (level != null && isCompared(i)) levels.set(hz, level / 100);
  });
  return levels;
}

function comparison(
  { to_at, freq_hz }: StoredLevels,
  versions: readonly PlanVersion[],
  nowMs: number,
): (index: number) => boolean {
  const plan = planInForce(versions, nowMs);
  if (plan === null || planInForce(versions, to_at.getTime()) === null) return () => true;
  const unchanged = new Set(unchangedChannels(versions, to_at.getTime(), nowMs));
  const { channels } = matchChannels(
    freq_hz.map((hz) => hz / 1e6),
    plan,
  );
  return (index) => {
    const channel = channels[index] ?? null;
    return channel !== null && unchanged.has(channel);
  };
}
