/**
 * What single sweeps do by chance (one fails to come, one lacks half of its channels, one repeats the last) each is taken to do for
 * itself. A run of it is told once such a run comes less than once in a million sweeps: at one point swept every 15 minutes one false
 * alarm in 28 years, among a thousand points one in ten days at most. The share below errs on the high side, so it comes less often.
 */
export const TOLD_CHANCE = 1e-6;
/** A sweep that is only late is no alarm: once in a thousand. */
export const LATE_CHANCE = 1e-3;

/** Before anything is known of a point one sweep in forty does it, as if forty had been seen (common practice, no source). */
const PRIOR_SWEEPS = 40;

/** The share of sweeps that do it by chance, after `times` of `sweeps` did: Laplace's rule of succession, with the prior above. */
export function chanceShare(times: number, sweeps: number): number {
  return (times + 1) / (sweeps + PRIOR_SWEEPS);
}

/** Whether a run of so many in a row comes less often than `chance` when each comes with `share`. */
export function isNoChance(run: number, share: number, chance: number): boolean {
  return run > 0 && share ** run < chance;
}
