import type { PlanVersion } from './channelPlan.ts';

/**
 * What the feed was meant to carry at a moment: of the versions already effective, the one that took effect last
 * (the higher version when two share the moment).
 *
 * @param versions in any order
 * @param atMs milliseconds since 1970-01-01 UTC
 * @returns null before the first version takes effect
 */
export function planInForce(versions: readonly PlanVersion[], atMs: number): PlanVersion | null {
  let current: PlanVersion | null = null;
  for (const version of versions) {
    if (version.effectiveFromMs > atMs) continue;
    if (current === null || supersedes(version, current)) current = version;
  }
  return current;
}

function supersedes(a: PlanVersion, b: PlanVersion): boolean {
  if (a.effectiveFromMs !== b.effectiveFromMs) return a.effectiveFromMs > b.effectiveFromMs;
  return a.version > b.version;
}
