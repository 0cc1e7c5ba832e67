import { z } from 'zod';
import type { ImportFault } from '../../schemas/siteImport.ts';
import {
  ChangePointSchema,
  ChangeSiteSchema,
  NewSiteSchema,
  type SiteSetup,
} from '../../schemas/siteSetup.ts';
import { type PointEntry, type ResolvedEntry, resolveEntries } from '../pointEntries.ts';
import type { PointFieldsWithId } from '../points.ts';
import { POINT_COLUMNS, SITE_COLUMNS } from './columns.ts';
import { fieldsOfRow } from './fieldsOfRow.ts';
import type { ReadTable, TableRow } from './readTable.ts';

/** What is there already, as far as the files name it. */
export interface KnownThings {
  readonly sites: readonly { readonly site: SiteSetup; readonly points: readonly PointFieldsWithId[] }[];
  readonly providers: ReadonlyMap<string, number>;
  readonly plans: ReadonlyMap<string, number>;
}

type SiteFields = z.infer<typeof ChangeSiteSchema>;

/** One site of the files with everything that is given of it. */
export interface PlannedSite {
  /** Its row in the sites file; null where only its points are given. */
  readonly row: number | null;
  readonly name: string;
  readonly known: SiteSetup | null;
  readonly fields: SiteFields;
  readonly entries: readonly { readonly row: number; readonly entry: PointEntry }[];
  readonly action: 'add' | 'update' | 'unchanged' | 'skip' | 'refuse';
  readonly pointsAdded: number;
  readonly pointsChanged: number;
}

const names = { provider: z.string().optional(), plan: z.string().optional() };
const NewRow = NewSiteSchema.omit({ providerId: true, planId: true }).extend(names);
const ChangeRow = ChangeSiteSchema.omit({ providerId: true, planId: true }).extend(names);
const PointRow = ChangePointSchema.omit({ fedBy: true }).extend({
  name: ChangePointSchema.shape.name.unwrap(),
  fedBy: z.string().optional(),
  site: z.string(),
});

/** What the two files would do, site by site, and all that is wrong in them. A site with any fault is refused as a whole. */
export function checkImport(
  sites: ReadTable,
  points: ReadTable,
  things: KnownThings,
  onKnown: 'skip' | 'update',
): { readonly sites: readonly PlannedSite[]; readonly faults: readonly ImportFault[] } {
  const bySite = Map.groupBy(points.rows, ({ cells }) => cells['site'] ?? '');
  const faults = [...sites.faults, ...points.faults];
  const planned: PlannedSite[] = [];
  const seen = new Map<string, number>();
  for (const row of sites.rows) {
    const name = row.cells['name'] ?? '';
    const before = seen.get(name);
    if (before !== undefined) {
      const problem = `stands in row ${before} already: keep one`;
      faults.push({ file: 'sites', row: row.row, column: 'name', value: name, problem });
      continue;
    }
    seen.set(name, row.row);
    const pointRows = bySite.get(name) ?? [];
    const wrongBefore = [...sites.faults, ...points.faults].some(
      (fault) =>
        (fault.file === 'sites' && fault.row === row.row) ||
        (fault.file === 'points' && pointRows.some((point) => point.row === fault.row)),
    );
    const checked = checkSite(row, name, pointRows, things, onKnown);
    faults.push(...checked.faults);
    const isRefused = wrongBefore || checked.faults.length > 0;
    planned.push(
      isRefused ? { ...checked.site, action: 'refuse', pointsAdded: 0, pointsChanged: 0 } : checked.site,
    );
  }
  for (const [name, rows] of bySite) {
    if (seen.has(name)) continue;
    const checked = checkSite(null, name, rows, things, onKnown);
    faults.push(...checked.faults);
    planned.push(
      checked.faults.length > 0
        ? { ...checked.site, action: 'refuse', pointsAdded: 0, pointsChanged: 0 }
        : checked.site,
    );
  }
  const fileOrder = { sites: 0, points: 1 };
  faults.sort((a, b) => fileOrder[a.file] - fileOrder[b.file] || (a.row ?? 0) - (b.row ?? 0));
  return { sites: planned, faults };
}

function checkSite(
  row: TableRow | null,
  name: string,
  pointRows: readonly TableRow[],
  things: KnownThings,
  onKnown: 'skip' | 'update',
): { site: PlannedSite; faults: ImportFault[] } {
  const faults: ImportFault[] = [];
  const alike = things.sites.filter(({ site }) => site.name === name);
  const known = alike[0] ?? null;
  const nameFault = (problem: string) =>
    faults.push(
      row === null
        ? { file: 'points', row: pointRows[0]!.row, column: 'site', value: name, problem }
        : { file: 'sites', row: row.row, column: 'name', value: name, problem },
    );
  if (alike.length > 1)
    nameFault(`${alike.length} sites here have this name: give each a name of its own first`);
  if (row === null && known === null) {
    nameFault('there is no such site, here or in the sites file: add it there, or correct the name');
  }
  const fields = row === null ? {} : siteFields(row, known?.site ?? null, things, faults);
  const entries = pointRows.flatMap((point) => {
    const read = fieldsOfRow('points', point, POINT_COLUMNS, PointRow);
    faults.push(...read.faults);
    if (read.fields === null) return [];
    const { site: _, fedBy, ...given } = read.fields;
    const entry = { ...given, ...feederOf(fedBy, given.kind) } as PointEntry;
    return [{ row: point.row, entry }];
  });
  const resolved = resolveEntries(
    entries.map(({ entry }) => entry),
    known?.points ?? [],
  );
  if (faults.length === 0) {
    for (const { index, field, problem } of resolved.faults) {
      const at = pointRows.find((point) => point.row === entries[index]!.row)!;
      const column = POINT_COLUMNS.find((candidate) => candidate.field === field)!.name;
      faults.push({ file: 'points', row: at.row, column, value: at.cells[column] ?? '', problem });
    }
  }
  const skipped = known !== null && onKnown === 'skip';
  const added = resolved.points.filter(({ before }) => before === null).length;
  const changed = resolved.points.filter((point) => isChanged(point, known?.points ?? [])).length;
  const site = known?.site ?? null;
  const isSame = site !== null && added + changed === 0 && !isSiteChanged(site, fields);
  const action = site === null ? 'add' : skipped ? 'skip' : isSame ? 'unchanged' : 'update';
  const counts = skipped
    ? { pointsAdded: 0, pointsChanged: 0 }
    : { pointsAdded: added, pointsChanged: changed };
  return { site: { row: row?.row ?? null, name, known: site, fields, entries, action, ...counts }, faults };
}

/** An empty cell of a handoff says that nothing feeds it; of another point, that nothing is said. */
function feederOf(fedBy: string | undefined, kind: string | undefined): { fedBy?: string | null } {
  if (fedBy !== undefined) return { fedBy };
  return kind === 'handoff' ? { fedBy: null } : {};
}

function siteFields(
  row: TableRow,
  known: SiteSetup | null,
  things: KnownThings,
  faults: ImportFault[],
): SiteFields {
  const read = fieldsOfRow<z.infer<typeof ChangeRow>>(
    'sites',
    row,
    SITE_COLUMNS,
    known === null ? NewRow : ChangeRow,
  );
  faults.push(...read.faults);
  const idOf = (column: 'provider' | 'plan', ids: ReadonlyMap<string, number>, what: string) => {
    const value = row.cells[column];
    if (value === undefined) return undefined;
    const id = ids.get(value);
    if (id === undefined) {
      const problem = `there is no ${what} of this name: set it up first, or correct the name${nameHint(ids)}`;
      faults.push({ file: 'sites', row: row.row, column, value, problem });
    }
    return id;
  };
  const providerId = idOf('provider', things.providers, 'provider');
  const planId = idOf('plan', things.plans, 'channel plan');
  const { provider: _, plan: __, ...fields } = read.fields ?? {};
  return {
    ...fields,
    ...(providerId !== undefined && { providerId }),
    ...(planId !== undefined && { planId }),
  };
}

const HINTED_NAMES = 5;

function nameHint(ids: ReadonlyMap<string, number>): string {
  if (ids.size === 0) return '';
  const shown = [...ids.keys()].slice(0, HINTED_NAMES);
  return ` (there ${shown.length === 1 ? 'is' : 'are'} ${shown.join(', ')}${ids.size > shown.length ? ' …' : ''})`;
}

function isSiteChanged(site: SiteSetup, fields: SiteFields): boolean {
  return Object.entries(fields).some(([field, value]) => site[field as keyof SiteSetup] !== value);
}

function isChanged({ before, after, fedBy }: ResolvedEntry, known: readonly PointFieldsWithId[]): boolean {
  if (before === null) return false;
  const feeder = known.find(({ pointId }) => pointId === before.fedBy)?.name ?? null;
  return (
    feeder !== fedBy ||
    Object.entries(after).some(([field, value]) => before[field as keyof typeof after] !== value)
  );
}
