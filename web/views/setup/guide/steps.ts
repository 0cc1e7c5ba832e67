import type { SiteProgress } from '../../../../api/schemas/siteProgress.ts';
import type { SetupStep } from '../../../../api/setup/stepNames.ts';

export const STEP_WORD: Readonly<Record<SetupStep, string>> = {
  site: 'Building',
  plan: 'Provider and channel plan',
  points: 'Points',
  ways: 'How readings come',
  key: 'Site key and agent',
  readings: 'First readings',
  baseline: 'Baselines',
  turnover: 'Turnover',
};

export const guideAddress = (siteId: number, step?: SetupStep): string =>
  step === undefined ? `/setup/new-site/${siteId}` : `/setup/new-site/${siteId}?step=${step}`;

/**
 * Where to go on: the first step that lacks something. A plan may wait for a first sweep to be found from, so it is
 * passed over while nothing was heard.
 */
export function nextStep({ steps, points }: SiteProgress): SetupStep {
  const open = steps.filter(({ done }) => !done);
  const heard = points.some((point) => point.heard !== null);
  const canWait = (step: SiteProgress['steps'][number]) =>
    step.step === 'plan' && !heard && step.missing.length === 1;
  return (open.find((step) => !canWait(step)) ?? open[0])?.step ?? 'turnover';
}
