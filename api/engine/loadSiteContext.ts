import type pg from 'pg';
import type { Db } from '../../ingest/store/database.ts';
import { loadPlanVersions } from '../../ingest/store/planQueries.ts';
import type { PointKind } from '../../ingest/store/schema.ts';
import { type Calibrations, loadCalibrations } from '../instruments/calibrations.ts';
import { limitSetFor } from '../limits/limitSetFor.ts';
import { loadLimitChoices } from '../limits/loadLimitChoices.ts';
import type { Window } from '../maintenance/window.ts';
import { windowsFor } from '../maintenance/windowsAt.ts';
import type { SitePoint } from '../trend/types.ts';
import type { PointContext } from './pointContext.ts';

/** Any time that a sweep may have. */
const FIRST_MS = Date.UTC(1970, 0, 1);
const LAST_MS = Date.UTC(9000, 0, 1);

export interface SiteContext {
  readonly fingerprint: string;
  /** The tree as the engine knows it. */
  readonly tree: readonly SitePoint[];
  readonly points: ReadonlyMap<number, PointContext>;
  /** Maintenance windows in force, earliest first. */
  readonly windows: readonly Window[];
  readonly calibrations: Calibrations;
  /** Names of the instruments that are kept already. */
  readonly instruments: Set<string>;
  /** MHz by grid. */
  readonly grids: Map<number, readonly number[]>;
}

/** Changes whenever a baseline, plan version, limit choice, maintenance window, calibration or point of the site does. */
export async function siteFingerprint(client: pg.ClientBase, siteId: number): Promise<string> {
  const { rows } = await client.query<{ fingerprint: string }>({
    name: 'engine site fingerprint',
    text: `
      select concat_ws(' ',
        (select count(*) from baseline where site_id = $1),
        (select max(accepted_at) from baseline where site_id = $1),
        site.plan_id,
        (select string_agg(version || '@' || effective_from, ',' order by version)
          from channel_plan_version where plan_id = site.plan_id),
        (select max(choice_id) from site_limit_choice where site_id = $1),
        (select max(choice_id) from fleet_limit_choice),
        site.provider_id,
        (select string_agg(concat_ws(' ', window_id, from_at, to_at), ',' order by window_id)
          from maintenance_window
          where cancelled_at is null and (scope = 'fleet' or (scope = 'site' and scope_id = site.site_id)
            or (scope = 'provider' and scope_id = site.provider_id))),
        (select max(calibration_id) || '/' || count(*) from instrument_calibration where site_id = $1),
        (select string_agg(concat_ws(' ', point_id, kind, fed_by, corrects_itself, correction_window_db), ',' order by point_id)
          from point where site_id = $1)
      ) as fingerprint
      from site where site_id = $1`,
    values: [siteId],
  });
  return rows[0]?.fingerprint ?? '';
}

/** Loads a site's context; grids are read as they are met. */
export async function loadSiteContext(db: Db, siteId: number, fingerprint: string): Promise<SiteContext> {
  const site = await db.selectFrom('site').select('plan_id').where('site_id', '=', siteId).executeTakeFirst();
  const planVersions = site?.plan_id == null ? [] : await loadPlanVersions(db, site.plan_id);
  const choices = await loadLimitChoices(db, siteId);
  const baselines = await db
    .selectFrom('baseline')
    .selectAll()
    .where('site_id', '=', siteId)
    .orderBy('effective_from')
    .orderBy('version')
    .execute();
  const points = await db
    .selectFrom('point')
    .select(['point_id', 'kind', 'fed_by', 'corrects_itself', 'correction_window_db'])
    .where('site_id', '=', siteId)
    .orderBy('point_id')
    .execute();

  const instruments = await db
    .selectFrom('instrument')
    .select('name')
    .where('site_id', '=', siteId)
    .execute();

  const tree = points.map((point) => ({
    pointId: point.point_id,
    fedBy: point.fed_by,
    isHandoff: point.kind === 'handoff' && point.fed_by === null,
    correctsItself: point.corrects_itself,
    correctionWindowDb: point.correction_window_db,
  }));
  const contexts = points.map(({ point_id, kind }): [number, PointContext] => [
    point_id,
    {
      limitSet: limitSetFor({ pointId: point_id, kind: kind as PointKind }, choices),
      baselines: baselines.filter((row) => row.point_id === point_id),
      planVersions,
      compared: new Map(),
    },
  ]);
  return {
    fingerprint,
    tree,
    points: new Map(contexts),
    windows: await windowsFor(db, siteId, FIRST_MS, LAST_MS),
    calibrations: await loadCalibrations(db, siteId),
    instruments: new Set(instruments.map(({ name }) => name)),
    grids: new Map(),
  };
}
