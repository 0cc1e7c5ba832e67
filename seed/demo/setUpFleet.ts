import { addPlan, addVersion, listPlans } from '../../api/setup/plans.ts';
import { addPoint, listPoints } from '../../api/setup/points.ts';
import { addProvider, listProviders } from '../../api/setup/providers.ts';
import { addSite, listSites } from '../../api/setup/sites.ts';
import type { Db } from '../../ingest/store/database.ts';
import type { DemoSite } from '../fleet/demoFleet.ts';
import { type DemoPoint, describeHop } from '../fleet/layouts.ts';
import { type DemoPlan, demoPlans, type PlanName } from '../fleet/plans.ts';
import { PROVIDERS } from '../fleet/providers.ts';
import { COMPANY, INSTALLER } from '../fleet/roster.ts';
import { agreeOnLimits } from './agreeOnLimits.ts';
import { INTERVAL_S } from './pacing.ts';

const MOST_SITES = 500;

/** A building of the demo with the numbers that the database gave it. */
export interface SetUpSite {
  readonly site: DemoSite;
  readonly siteId: number;
  readonly pointIds: ReadonlyMap<string, number>;
}

/**
 * Enters providers, plans, sites, points and limits through the functions behind the set-up pages. What is there
 * already is left alone, so a start that was cut short is completed by the next one.
 */
export async function setUpFleet(
  db: Db,
  fleet: readonly DemoSite[],
  originMs: number,
  onShare: (share: number) => void,
): Promise<SetUpSite[]> {
  const planIds = await setUpPlans(db, originMs);
  await agreeOnLimits(db);
  const providerIds = await setUpProviders(db);
  const { sites: known } = await listSites(db, { search: '', offset: 0, limit: MOST_SITES });

  const result: SetUpSite[] = [];
  for (const site of fleet) {
    const siteId =
      known.find(({ name }) => name === site.name)?.siteId ??
      (await createSite(db, site, providerIds.get(site.provider)!, planIds.get(site.provider)!));
    const pointIds = await setUpPoints(db, siteId, site.points);
    result.push({ site, siteId, pointIds });
    onShare(result.length / fleet.length);
  }
  return result;
}

async function setUpProviders(db: Db): Promise<Map<PlanName, number>> {
  const known = await listProviders(db);
  const ids = new Map<PlanName, number>();
  for (const key of Object.keys(PROVIDERS) as PlanName[]) {
    const { feed, contact } = PROVIDERS[key];
    const provider =
      known.find(({ name }) => name === feed.name) ?? (await addProvider(db, { name: feed.name, contact }));
    ids.set(key, provider.providerId);
  }
  return ids;
}

async function setUpPlans(db: Db, originMs: number): Promise<Map<PlanName, number>> {
  const known = await listPlans(db, originMs);
  const ids = new Map<PlanName, number>();
  for (const [key, plan] of Object.entries(demoPlans(originMs)) as [PlanName, DemoPlan][]) {
    const [first, ...later] = plan.versions.map(({ effectiveFromMs, ...version }) => ({
      ...version,
      effectiveFrom: new Date(effectiveFromMs).toISOString(),
    }));
    const found = known.find(({ name }) => name === plan.name);
    const planId =
      found?.planId ?? (await addPlan(db, { ...first!, name: plan.name, raster: plan.raster }, INSTALLER));
    for (const version of later.slice((found?.versions.length ?? 1) - 1)) {
      await addVersion(db, planId, version, INSTALLER);
    }
    ids.set(key, planId);
  }
  return ids;
}

function createSite(db: Db, site: DemoSite, providerId: number, planId: number): Promise<number> {
  const { name: town, timeZone, latitude, longitude } = site.town;
  return addSite(db, {
    name: site.name,
    town,
    address: '',
    timeZone,
    latitude,
    longitude,
    outlets: site.outlets,
    providerId,
    planId,
    contact: `${COMPANY}, service desk`,
    accessNotes: '',
  });
}

async function setUpPoints(
  db: Db,
  siteId: number,
  points: readonly DemoPoint[],
): Promise<Map<string, number>> {
  const ids = new Map((await listPoints(db, siteId)).map(({ name, pointId }) => [name, pointId]));
  for (const { name, label, kind, fedBy, outlets, hop } of points) {
    if (ids.has(name)) continue;
    const gear = hop.find((element) => element.kind === 'self-correcting');
    const pointId = await addPoint(db, siteId, {
      name,
      label,
      kind,
      fedBy: fedBy === null ? null : ids.get(fedBy)!,
      outlets,
      intervalS: INTERVAL_S,
      correctsItself: gear !== undefined,
      correctionWindowDb: gear?.windowDb ?? null,
      hopNote: describeHop(hop),
    });
    ids.set(name, pointId);
  }
  return ids;
}
