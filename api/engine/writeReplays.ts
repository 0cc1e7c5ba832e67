import type pg from 'pg';
import { DAY_MS, type Finding } from '../trend/types.ts';
import { DAILY_CHECKPOINT_DAYS, hoursOf, latestOf, MONTH_MS, type PointReplay } from './pointReplay.ts';

const ROWS_A_STATEMENT = 4000;

/** Writes what the runs of one site's points concluded, in place of what was concluded without the news. */
export async function writeReplays(
  client: pg.ClientBase,
  siteId: number,
  replays: readonly PointReplay[],
  nowMs: number,
): Promise<void> {
  const rewound = replays.filter((replay) => replay.rewound);
  if (rewound.length > 0) await forget(client, siteId, rewound);
  await writeHours(client, siteId, replays);
  await writeFindings(client, siteId, replays);
  await writeCheckpoints(client, siteId, replays);
  await writeStates(client, siteId, replays, nowMs);
}

async function forget(client: pg.ClientBase, siteId: number, replays: readonly PointReplay[]): Promise<void> {
  const values = [
    siteId,
    replays.map(({ pointId }) => pointId),
    replays.map(({ startedMs }) => (startedMs === null ? '-infinity' : new Date(startedMs))),
  ];
  for (const [table, isLater] of [
    ['hourly', "hourly.hour >= date_trunc('hour', p.started_at)"],
    ['finding', 'finding.detected_at > p.started_at'],
    ['checkpoint', 'checkpoint.at > p.started_at'],
  ]) {
    await client.query(
      `delete from ${table} using unnest($2::bigint[], $3::timestamptz[]) as p (point_id, started_at)
       where ${table}.site_id = $1 and ${table}.point_id = p.point_id and ${isLater}`,
      values,
    );
  }
}

async function writeHours(
  client: pg.ClientBase,
  siteId: number,
  replays: readonly PointReplay[],
): Promise<void> {
  const rows = replays.flatMap((replay) => hoursOf(replay).map((row) => ({ pointId: replay.pointId, row })));
  for (let from = 0; from < rows.length; from += ROWS_A_STATEMENT) {
    const part = rows.slice(from, from + ROWS_A_STATEMENT);
    const column = (pick: (entry: (typeof part)[number]) => unknown) => part.map(pick);
    await client.query({
      name: 'engine write hours',
      text: `
        insert into hourly (site_id, point_id, hour, sweeps, level_dbmv, level_dev_db, tilt_db, tilt_dev_db,
          flatness_db, mer_margin_db, ambient_c)
        select $1, * from unnest($2::bigint[], $3::timestamptz[], $4::smallint[], $5::real[], $6::real[],
          $7::real[], $8::real[], $9::real[], $10::real[], $11::real[])
        on conflict (site_id, point_id, hour) do update set sweeps = excluded.sweeps,
          level_dbmv = excluded.level_dbmv, level_dev_db = excluded.level_dev_db,
          tilt_db = excluded.tilt_db, tilt_dev_db = excluded.tilt_dev_db,
          flatness_db = excluded.flatness_db, mer_margin_db = excluded.mer_margin_db,
          ambient_c = excluded.ambient_c`,
      values: [
        siteId,
        column(({ pointId }) => pointId),
        column(({ row }) => new Date(row.hourMs)),
        column(({ row }) => Math.min(row.sweeps, 32767)),
        column(({ row }) => row.levelDbmv),
        column(({ row }) => row.levelDevDb),
        column(({ row }) => row.tiltDb),
        column(({ row }) => row.tiltDevDb),
        column(({ row }) => row.flatnessDb),
        column(({ row }) => row.merMarginDb),
        column(({ row }) => row.ambientC),
      ],
    });
  }
}

async function writeFindings(
  client: pg.ClientBase,
  siteId: number,
  replays: readonly PointReplay[],
): Promise<void> {
  const rows = replays.flatMap(({ pointId, findings }) =>
    [...findings.values()].map((finding) => findingRow(siteId, pointId, finding)),
  );
  if (rows.length === 0) return;
  await client.query(
    `insert into finding select * from jsonb_populate_recordset(null::finding, $1)
     on conflict (site_id, point_id, kind, metric, detected_at) do update set
       onset_at = excluded.onset_at, onset_low_at = excluded.onset_low_at, onset_high_at = excluded.onset_high_at,
       size_db = excluded.size_db, size_low_db = excluded.size_low_db, size_high_db = excluded.size_high_db,
       slope_db_per_day = excluded.slope_db_per_day, slope_low_db_per_day = excluded.slope_low_db_per_day,
       slope_high_db_per_day = excluded.slope_high_db_per_day, limit_days_10 = excluded.limit_days_10,
       limit_days_50 = excluded.limit_days_50, limit_days_90 = excluded.limit_days_90,
       limit_name = excluded.limit_name, closed_at = excluded.closed_at, evidence = excluded.evidence`,
    [JSON.stringify(rows)],
  );
}

function findingRow(siteId: number, pointId: number, finding: Finding) {
  const at = (ms: number) => new Date(ms).toISOString();
  return {
    site_id: siteId,
    point_id: pointId,
    kind: finding.kind,
    metric: finding.metric,
    detected_at: at(finding.detectedMs),
    onset_at: at(finding.onsetMs),
    onset_low_at: at(finding.onsetLowMs),
    onset_high_at: at(finding.onsetHighMs),
    size_db: finding.sizeDb,
    size_low_db: finding.sizeLowDb,
    size_high_db: finding.sizeHighDb,
    slope_db_per_day: finding.slopeDbPerDay,
    slope_low_db_per_day: finding.slopeLowDbPerDay,
    slope_high_db_per_day: finding.slopeHighDbPerDay,
    limit_days_10: finding.daysToLimit?.p10 ?? null,
    limit_days_50: finding.daysToLimit?.p50 ?? null,
    limit_days_90: finding.daysToLimit?.p90 ?? null,
    limit_name: finding.limitName,
    closed_at: finding.closedMs === null ? null : at(finding.closedMs),
    evidence: finding.evidence,
  };
}

async function writeCheckpoints(
  client: pg.ClientBase,
  siteId: number,
  replays: readonly PointReplay[],
): Promise<void> {
  const rows = replays.flatMap(({ pointId, checkpoints }) =>
    checkpoints.map((checkpoint) => ({ pointId, checkpoint })),
  );
  if (rows.length === 0) return;
  await client.query(
    `insert into checkpoint (site_id, point_id, at, state)
     select $1, * from unnest($2::bigint[], $3::timestamptz[], $4::jsonb[])
     on conflict (site_id, point_id, at) do update set state = excluded.state`,
    [
      siteId,
      rows.map(({ pointId }) => pointId),
      rows.map(({ checkpoint }) => new Date(checkpoint.atMs)),
      rows.map(({ checkpoint }) => checkpoint.json),
    ],
  );
  const grown = replays.filter(({ checkpoints }) => checkpoints.length > 0);
  await client.query(
    `delete from checkpoint using unnest($2::bigint[], $3::timestamptz[]) as p (point_id, daily_from)
     where checkpoint.site_id = $1 and checkpoint.point_id = p.point_id and checkpoint.at < p.daily_from
       and exists (
         select from checkpoint earlier
         where earlier.site_id = $1 and earlier.point_id = p.point_id and earlier.at < checkpoint.at
           and floor(extract(epoch from earlier.at) * 1000 / $4::float8)
             = floor(extract(epoch from checkpoint.at) * 1000 / $4::float8)
       )`,
    [
      siteId,
      grown.map(({ pointId }) => pointId),
      grown.map(({ state }) => new Date(state.lastMs! - DAILY_CHECKPOINT_DAYS * DAY_MS)),
      MONTH_MS,
    ],
  );
}

async function writeStates(
  client: pg.ClientBase,
  siteId: number,
  replays: readonly PointReplay[],
  nowMs: number,
): Promise<void> {
  await client.query({
    name: 'engine write states',
    text: `
      update point_state set last_at = p.last_at, state = p.state, latest = coalesce(p.latest, point_state.latest),
        updated_at = $6
      from unnest($2::bigint[], $3::timestamptz[], $4::jsonb[], $5::jsonb[]) as p (point_id, last_at, state, latest)
      where point_state.site_id = $1 and point_state.point_id = p.point_id`,
    values: [
      siteId,
      replays.map(({ pointId }) => pointId),
      replays.map(({ state }) => (state.lastMs === null ? null : new Date(state.lastMs))),
      replays.map(({ state }) => JSON.stringify(state)),
      replays.map((replay) => {
        const latest = latestOf(replay);
        return latest && JSON.stringify(latest);
      }),
      new Date(nowMs),
    ],
  });
}
