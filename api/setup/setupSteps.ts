import type { ReadingWay } from '../schemas/readingWays.ts';
import type { SiteProgress } from '../schemas/siteProgress.ts';
import { SETUP_STEPS, type SetupStep } from './stepNames.ts';

/** What is known of a site's set-up. */
export interface SetupFacts {
  readonly outlets: number;
  readonly address: string;
  readonly contact: string;
  readonly accessNotes: string;
  readonly hasProvider: boolean;
  readonly hasPlan: boolean;
  /** A version of the plan is in force now. */
  readonly planInForce: boolean;
  /** Keys that aren't revoked. */
  readonly keys: number;
  readonly points: readonly {
    readonly title: string;
    readonly isHandoff: boolean;
    readonly way: ReadingWay | null;
    readonly sweeps: number;
    readonly hasBaseline: boolean;
  }[];
}

type StepFacts = { missing: string[]; advice: string[] };
/** Names that are listed before the rest is counted. */
const SHOWN_TITLES = 4;

/** Step by step what is still missing; a step is done when nothing is, and the turnover when no step lacks anything. */
export function setupSteps(facts: SetupFacts): SiteProgress['steps'] {
  const byStep: Record<Exclude<SetupStep, 'turnover'>, StepFacts> = {
    site: siteStep(facts),
    plan: planStep(facts),
    points: pointsStep(facts),
    ways: waysStep(facts),
    key: keyStep(facts),
    readings: readingsStep(facts),
    baseline: baselineStep(facts),
  };
  const open = Object.values(byStep).filter(({ missing }) => missing.length > 0).length;
  return SETUP_STEPS.map((step) => {
    if (step === 'turnover') return { step, done: open === 0, missing: [], advice: [] };
    const { missing, advice } = byStep[step];
    return { step, done: missing.length === 0, missing, advice };
  });
}

function siteStep({ outlets, address, contact, accessNotes }: SetupFacts): StepFacts {
  return {
    missing: outlets > 0 ? [] : ['The number of outlets: the ranking counts who is affected.'],
    advice: [
      ...(address === '' ? ['No address yet: a technician must find the building.'] : []),
      ...(contact === '' ? ['No contact yet.'] : []),
      ...(accessNotes === '' ? ['No access notes yet: keys, hours, escorts.'] : []),
    ],
  };
}

function planStep({ hasProvider, hasPlan, planInForce }: SetupFacts): StepFacts {
  const missing: string[] = [];
  if (!hasProvider) missing.push('The provider who hands the feed over.');
  if (!hasPlan) missing.push('The channel plan: choose one, or have it found from a first sweep.');
  else if (!planInForce) missing.push('A version of the channel plan that is in force now.');
  return { missing, advice: [] };
}

function pointsStep({ points }: SetupFacts): StepFacts {
  if (!points.some(({ isHandoff }) => isHandoff)) {
    return { missing: ['The handoff, where the provider’s feed comes in.'], advice: [] };
  }
  const alone = points.length === 1;
  return {
    missing: [],
    advice: alone ? ['Only the handoff: nothing behind it is watched.'] : [],
  };
}

/** A point that is heard has its way, whoever set it up. */
function waysStep({ points }: SetupFacts): StepFacts {
  const open = points.filter(({ way, sweeps }) => way === null && sweeps === 0);
  if (points.length === 0) return { missing: ['How the readings come: add points first.'], advice: [] };
  return { missing: open.length === 0 ? [] : [`How the readings come from ${titles(open)}.`], advice: [] };
}

function keyStep({ points, keys }: SetupFacts): StepFacts {
  const needsKey = points.some(({ way }) => way === null || !['server', 'typed'].includes(way.way));
  if (keys > 0 || (points.length > 0 && !needsKey)) return { missing: [], advice: [] };
  return { missing: ['A site key for what sends the sweeps.'], advice: [] };
}

function readingsStep({ points }: SetupFacts): StepFacts {
  const silent = points.filter(({ sweeps }) => sweeps === 0);
  if (points.length === 0) return { missing: ['The first readings.'], advice: [] };
  return { missing: silent.length === 0 ? [] : [`A first sweep from ${titles(silent)}.`], advice: [] };
}

function baselineStep({ points }: SetupFacts): StepFacts {
  const without = points.filter(({ hasBaseline }) => !hasBaseline);
  if (points.length === 0) return { missing: ['An accepted baseline.'], advice: [] };
  return { missing: without.length === 0 ? [] : [`An accepted baseline of ${titles(without)}.`], advice: [] };
}

function titles(points: readonly { title: string }[]): string {
  const names = points.map(({ title }) => title);
  if (names.length <= SHOWN_TITLES) return names.join(', ');
  return `${names.slice(0, SHOWN_TITLES).join(', ')} and ${names.length - SHOWN_TITLES} more`;
}
