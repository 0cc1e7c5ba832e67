import { sql } from 'kysely';
import type { AuditContext } from '../../audit/audited.ts';
import { recordChange } from '../../audit/recordChange.ts';
import { ApiError } from '../../errors.ts';
import { refreshSiteRisk } from '../../risk/refreshSiteRisk.ts';
import {
  IMPORT_ACTIONS,
  type ImportFault,
  type ImportReport,
  MOST_POINTS,
  MOST_SITES,
} from '../../schemas/siteImport.ts';
import { NewSiteSchema } from '../../schemas/siteSetup.ts';
import { resolveEntries } from '../pointEntries.ts';
import { lockTree } from '../points.ts';
import { addSite, writeSiteChange } from '../sites.ts';
import { writePoints } from '../writePoints.ts';
import { checkImport, type PlannedSite } from './checkImport.ts';
import { POINT_COLUMNS, SITE_COLUMNS } from './columns.ts';
import { importedChange } from './importedChange.ts';
import { loadKnown } from './loadKnown.ts';
import { type ReadTable, readTable } from './readTable.ts';

export interface SiteImport {
  readonly sites: string;
  readonly points: string | null;
  readonly known: 'skip' | 'update';
  readonly apply: boolean;
}

/** Sites written at once. */
const AT_ONCE = 4;

/**
 * Brings sites and their points in from two files, or says what that would do. A site goes in whole or not at all, and those
 * with a fault hold up no other. Sites are known by name, so that bringing the same files in again adds nothing twice. The audit
 * keeps one row a site.
 */
export async function importSites(context: AuditContext, input: SiteImport): Promise<ImportReport> {
  const sites = readTable('sites', input.sites, SITE_COLUMNS);
  const noPoints: ReadTable = { rows: [], faults: [] };
  const points = input.points === null ? noPoints : readTable('points', input.points, POINT_COLUMNS);
  refuseTooMany(sites, points);
  const things = await loadKnown(context.db, [
    ...sites.rows.map(({ cells }) => cells['name'] ?? ''),
    ...points.rows.map(({ cells }) => cells['site'] ?? ''),
  ]);
  const { sites: planned, faults } = checkImport(sites, points, things, input.known);
  // A file that can't be read as a whole says nothing of its rows, so nothing is brought in beside it.
  const isBroken = faults.some(({ row }) => row === null || row === 1);
  const sound = isBroken ? planned.map(refused) : planned;
  if (!input.apply || isBroken) return reportOf(sound, faults, false);

  const late: ImportFault[] = [];
  const done = await inTurns(sound, AT_ONCE, (site) => writeSite(context, site, late));
  return reportOf(done, [...faults, ...late], true);
}

function refuseTooMany(sites: ReadTable, points: ReadTable): void {
  if (sites.rows.length <= MOST_SITES && points.rows.length <= MOST_POINTS) return;
  throw new ApiError(
    422,
    'too-many-rows',
    `the files hold ${sites.rows.length} sites and ${points.rows.length} points`,
    `bring in at most ${MOST_SITES} sites and ${MOST_POINTS} points at once`,
  );
}

/** Writes one site in a transaction of its own; whatever has changed since it was looked at refuses it. */
async function writeSite(
  { db, actor: { name: by, via }, nowMs }: AuditContext,
  site: PlannedSite,
  late: ImportFault[],
): Promise<PlannedSite & { siteId: number | null }> {
  if (site.action !== 'add' && site.action !== 'update')
    return { ...site, siteId: site.known?.siteId ?? null };
  const siteId = await db.transaction().execute(async (trx) => {
    // Two imports of the same file at once take turns by name, so that neither adds what the other has.
    await sql`select pg_advisory_xact_lock(hashtext('site import'), hashtext(${site.name}))`.execute(trx);
    const alike = await trx.selectFrom('site').select('site_id').where('name', '=', site.name).execute();
    const expected = site.known === null ? [] : [site.known.siteId];
    if (alike.length !== expected.length || alike[0]?.site_id !== expected[0]) return null;

    const id = site.known?.siteId ?? (await addSite(trx, NewSiteSchema.parse(site.fields)));
    if (site.known !== null && Object.keys(site.fields).length > 0) {
      await writeSiteChange(trx, site.known, site.fields);
    }
    const tree = site.known === null ? [] : await lockTree(trx, id);
    const resolved = resolveEntries(
      site.entries.map(({ entry }) => entry),
      tree,
    );
    if (resolved.faults.length > 0) return null;
    const ids = await writePoints(trx, id, resolved.points, tree);
    const subject = { action: 'import', subjectKind: 'site', subjectId: id, siteId: id };
    const change = await importedChange(trx, id, ids, { site: site.known, points: tree });
    await recordChange(trx, { by, via, ...subject, ...change }, nowMs);
    return id;
  });
  if (siteId === null) {
    late.push({
      file: 'sites',
      row: site.row,
      column: 'name',
      value: site.name,
      problem: 'somebody changed this site meanwhile: bring the file in again',
    });
    return refused(site);
  }
  await refreshSiteRisk(db, siteId, nowMs);
  return { ...site, siteId };
}

function refused(site: PlannedSite): PlannedSite & { siteId: number | null } {
  return { ...site, action: 'refuse', pointsAdded: 0, pointsChanged: 0, siteId: site.known?.siteId ?? null };
}

function reportOf(
  sites: readonly (PlannedSite & { siteId?: number | null })[],
  faults: readonly ImportFault[],
  applied: boolean,
): ImportReport {
  const count = (action: PlannedSite['action']) => sites.filter((site) => site.action === action).length;
  const sum = (of: (site: PlannedSite) => number) => sites.reduce((total, site) => total + of(site), 0);
  return {
    applied,
    counts: Object.fromEntries(
      IMPORT_ACTIONS.map((action) => [action, count(action)]),
    ) as ImportReport['counts'],
    points: { added: sum((site) => site.pointsAdded), changed: sum((site) => site.pointsChanged) },
    sites: sites.map(({ row, name, known, siteId, action, pointsAdded, pointsChanged }) => ({
      row,
      name,
      siteId: siteId ?? known?.siteId ?? null,
      action,
      pointsAdded,
      pointsChanged,
    })),
    faults: [...faults],
  };
}

/** `work` on every item in order of the list, so many at once; answers come in the list's order. */
async function inTurns<T, R>(
  items: readonly T[],
  atOnce: number,
  work: (item: T) => Promise<R>,
): Promise<R[]> {
  const results = new Array<R>(items.length);
  let next = 0;
  const worker = async () => {
    for (let i = next++; i < items.length; i = next++) results[i] = await work(items[i]!);
  };
  await Promise.all(Array.from({ length: atOnce }, worker));
  return results;
}
