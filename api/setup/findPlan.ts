import { matchChannels } from '../../ingest/plan/matchChannels.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import { type ModulationSign, type ProposedPlan, proposePlan } from '../../ingest/plan/proposePlan.ts';
import type { Db } from '../../ingest/store/database.ts';
import { loadPlanVersions } from '../../ingest/store/planQueries.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { loadPoint } from '../baseline/loadPoint.ts';
import { windowMedians } from '../baseline/windowMedians.ts';
import { ApiError } from '../errors.ts';
import { latestSweeps } from '../risk/latestSweeps.ts';
import type { FoundPlan } from '../schemas/foundPlan.ts';

const SHOWN_PLANS = 3;

const SIGN_WORDS: Readonly<Record<ModulationSign, string>> = {
  cnr: 'CNR was measured and no MER: analogue',
  mer: 'MER was measured: digital',
  'picture-carrier': 'it stands where an analogue picture carrier stands',
  none: 'neither MER nor CNR was measured, so nothing tells',
};

/**
 * The plan that the newest sweeps of a point speak for, with how sure each part is, and plans that come close to it.
 *
 * @throws NotFound when there is no such point
 * @throws ApiError 422 when no sweep has come in yet, or none with a carrier in it
 */
export async function findPlan(db: Db, siteId: number, pointId: number, nowMs: number): Promise<FoundPlan> {
  await loadPoint(db, siteId, pointId);
  const sweeps = (await latestSweeps(db, siteId)).get(pointId) ?? [];
  if (sweeps.length === 0) {
    throw new ApiError(
      422,
      'no-sweep-yet',
      'the point has no sweep yet',
      'send a first sweep, then come back; or choose a plan by hand',
    );
  }
  const scan = windowMedians(sweeps).filter(({ levelDbmv, lost }) => levelDbmv !== null || lost > 0);
  const plan = proposePlan(scan);
  if (plan === null) {
    throw new ApiError(
      422,
      'no-carrier-found',
      'the newest sweeps hold no carrier with a level',
      'check the meter and its cable at the point, then send another sweep',
    );
  }
  return {
    pointId,
    sweeps: sweeps.length,
    instruments: [...new Set(sweeps.map(({ instrument }) => instrument))].sort(),
    newestAt: new Date(sweeps[0]!.atMs).toISOString(),
    firstAt: await firstSweepAt(db, siteId, sweeps),
    ...inWords(plan),
    known: await knownPlans(db, plan, nowMs),
  };
}

function inWords(plan: ProposedPlan) {
  const { runnerUp: _, channels, missing, outsideMhz, ...facts } = plan;
  const withWhy = <T extends ProposedPlan['channels'][number]>({ sign, services, ...channel }: T) => ({
    ...channel,
    services: [...services],
    why: SIGN_WORDS[sign],
  });
  return {
    ...facts,
    rasterWhy: rasterSentence(plan),
    channels: channels.map(withWhy),
    missing: missing.map((channel) => ({ ...withWhy(channel), how: channel.how })),
    outsideMhz: [...outsideMhz],
  };
}

function rasterSentence({ raster, rasterIs, carriers, matched, runnerUp }: ProposedPlan): string {
  const next = runnerUp === null ? '' : `${runnerUp.raster} has ${runnerUp.matched}`;
  if (raster === 'own') {
    return `No raster known here fits: of ${carriers} carriers, ${next}. Each carrier is proposed as a channel of its own.`;
  }
  const fits = `${matched} of ${carriers} carriers stand on the ${raster} raster; ${next}.`;
  if (rasterIs === 'sure') return fits;
  if (runnerUp !== null && runnerUp.matched === matched && rasterIs === 'likely') {
    return `${fits} The carriers stand nearer to the places of ${raster}.`;
  }
  if (runnerUp !== null && runnerUp.matched === matched) {
    return `${fits} What was found does not tell the two apart: ask the provider which it is.`;
  }
  return `${fits} Look at the channels before you take it.`;
}

async function firstSweepAt(db: Db, siteId: number, newest: readonly Sweep[]): Promise<string> {
  const { first } = await db
    .selectFrom('sweep')
    .select((eb) => eb.fn.min('at').as('first'))
    .where('site_id', '=', siteId)
    .executeTakeFirstOrThrow();
  return (first ?? new Date(newest.at(-1)!.atMs)).toISOString();
}

/** Plans by how much of plan and carriers they share; those that share less than half are left out. */
async function knownPlans(
  db: Db,
  { channels, outsideMhz }: ProposedPlan,
  nowMs: number,
): Promise<FoundPlan['known']> {
  const foundMhz = [...channels.map(({ carrierMhz }) => carrierMhz), ...outsideMhz].sort((a, b) => a - b);
  const plans = await db.selectFrom('channel_plan').select(['plan_id', 'name']).execute();
  const held = await Promise.all(
    plans.map(async ({ plan_id, name }) => {
      const version = planInForce(await loadPlanVersions(db, plan_id), nowMs);
      if (version === null) return null;
      const match = matchChannels(foundMhz, version);
      const found = match.channels.filter((channel) => channel !== null).length;
      const notFound = match.notLookedFor.map(({ channel }) => channel);
      return { planId: plan_id, name, found, notFound, shared: found / (foundMhz.length + notFound.length) };
    }),
  );
  return held
    .filter((plan) => plan !== null)
    .filter(({ shared }) => shared >= 0.5)
    .sort((a, b) => b.shared - a.shared)
    .slice(0, SHOWN_PLANS)
    .map(({ shared: _, ...plan }) => plan);
}
