import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import type { RunningEngine } from '../../api/engine/startEngine.ts';
import type { Db } from '../../ingest/store/database.ts';
import { demoFleet } from '../fleet/demoFleet.ts';
import { INSTALLER } from '../fleet/roster.ts';
import { demoTruth } from '../truth.ts';
import { acceptBaselines } from './acceptBaselines.ts';
import { ensureAdministrator } from './administrator.ts';
import type { Deliver } from './deliver.ts';
import { readSecrets } from './keptSecrets.ts';
import { logComplaints } from './logComplaints.ts';
import { originOf } from './originOf.ts';
import { BASELINE_DAYS, DAY_MS, HISTORY_DAYS } from './pacing.ts';
import { beginStep } from './progress.ts';
import { sendHistory } from './sendHistory.ts';
import { sendLive } from './sendLive.ts';
import { type SetUpSite, setUpFleet } from './setUpFleet.ts';
import { ensureSiteKeys } from './siteKeys.ts';
import { tell } from './tell.ts';
import { waitForEngine } from './waitForEngine.ts';

export interface DemoDeps {
  readonly db: Db;
  readonly deliver: Deliver;
  /** Address of the running server. */
  readonly origin: string;
  /** Where secrets and the truth are kept. */
  readonly folder: string;
  readonly print: (line: string) => void;
  /** Starts one more engine beside the server's own; they share the sites. */
  readonly startHelper: () => RunningEngine;
}

/**
 * Fills the database with the demo fleet through the program's own doors, says what to look at, then sends live
 * sweeps until `signal`. Every step leaves alone what an earlier start has done, so it can be cut short anywhere
 * and started again.
 */
export async function runDemo(deps: DemoDeps, signal: AbortSignal): Promise<void> {
  const { db, deliver, origin, folder, print } = deps;
  const secrets = await readSecrets(folder);
  await ensureAdministrator(db, secrets.password, Date.now());
  const originMs = await originOf(db, Date.now());
  const beginMs = originMs - HISTORY_DAYS * DAY_MS;
  const installedMs = beginMs + BASELINE_DAYS * DAY_MS;
  const truthFile = path.join(folder, 'truth.json');
  await mkdir(folder, { recursive: true });
  await writeFile(truthFile, JSON.stringify(demoTruth(originMs), null, 2));

  const fleet = demoFleet(originMs);
  const setUp = beginStep(`${fleet.length} buildings, their points, providers and channel plans`);
  const sites = await setUpFleet(db, fleet, originMs, setUp.reach);
  setUp.done();
  await install(deps, sites, beginMs, installedMs, signal);

  const nowMs = Date.now();
  const history = beginStep('Sweeps since then');
  const sent = await sendHistory(
    db,
    deliver,
    sites,
    { fromMs: installedMs, toMs: nowMs, nowMs },
    history.reach,
    signal,
  );
  history.done(`${sent} sweeps`);

  const engine = beginStep('The engine looks at all of them');
  const helper = deps.startHelper();
  try {
    await waitForEngine(db, engine.reach, signal);
  } finally {
    await helper.stop();
  }
  engine.done();
  await logComplaints(db, sites, Date.now());

  const withKeys = await ensureSiteKeys(db, folder, secrets, sites, Date.now());
  print(tell(origin, secrets.password, sites, truthFile));
  await sendLive(origin, withKeys, signal, (message) => print(`  live: ${message}`));
}

/** The first days after installation, and the baselines that the installer accepts from them. */
async function install(
  { db, deliver }: DemoDeps,
  sites: readonly SetUpSite[],
  fromMs: number,
  toMs: number,
  signal: AbortSignal,
): Promise<void> {
  const step = beginStep('Sweeps of the first days, and baselines from them');
  const withoutBaseline = await sitesWithoutBaseline(db, sites);
  await sendHistory(
    db,
    deliver,
    withoutBaseline,
    { fromMs, toMs, nowMs: Date.now() },
    (share) => step.reach(share / 2),
    signal,
  );

  let accepted = 0;
  for (const [index, site] of withoutBaseline.entries()) {
    signal.throwIfAborted();
    accepted += await acceptBaselines(db, site, fromMs, toMs);
    step.reach(0.5 + index / (2 * withoutBaseline.length));
  }
  step.done(`${accepted} baselines accepted by ${INSTALLER}`);
}

async function sitesWithoutBaseline(db: Db, sites: readonly SetUpSite[]): Promise<SetUpSite[]> {
  const rows = await db.selectFrom('baseline').select(['site_id', 'point_id']).execute();
  const known = new Set(rows.map(({ site_id, point_id }) => `${site_id} ${point_id}`));
  return sites.filter(({ siteId, pointIds }) =>
    [...pointIds.values()].some((pointId) => !known.has(`${siteId} ${pointId}`)),
  );
}
