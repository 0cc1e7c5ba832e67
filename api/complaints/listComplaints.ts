import type { z } from '@hono/zod-openapi';
import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import { servicesOnChannel } from '../../ingest/plan/servicesOnChannel.ts';
import type { Db } from '../../ingest/store/database.ts';
import { loadPlanVersions } from '../../ingest/store/planQueries.ts';
import type { ComplaintRow } from '../../ingest/store/schema.ts';
import { titleOf } from '../risk/loadSite.ts';
import type { Complaints, ComplaintsQuery, ComplaintView, JudgementView } from '../schemas/complaints.ts';
import { type JudgedComplaint, judgeAll } from './judgeAll.ts';
import type { Judgement } from './judgeComplaint.ts';

const HOUR_MS = 3_600_000;

type NamedRow = ComplaintRow & {
  readonly site_name: string;
  readonly town: string;
  readonly time_zone: string;
  readonly plan_id: number | null;
  readonly point_name: string | null;
  readonly point_label: string | null;
};

/** What people said, newest first, each with what was known then. */
export async function listComplaints(
  db: Db,
  { site, offset, limit }: z.output<typeof ComplaintsQuery>,
): Promise<Complaints> {
  let standing = db
    .selectFrom('complaint')
    .innerJoin('site', 'site.site_id', 'complaint.site_id')
    .leftJoin('point', (join) =>
      join
        .onRef('point.site_id', '=', 'complaint.site_id')
        .onRef('point.point_id', '=', 'complaint.point_id'),
    )
    .where('complaint.withdrawn_at', 'is', null);
  if (site !== undefined) standing = standing.where('complaint.site_id', '=', site);

  const { total } = await standing
    .select((eb) => eb.fn.countAll<number>().as('total'))
    .executeTakeFirstOrThrow();
  const rows: NamedRow[] = await standing
    .selectAll('complaint')
    .select(['site.name as site_name', 'site.town', 'site.time_zone', 'site.plan_id'])
    .select(['point.name as point_name', 'point.label as point_label'])
    .orderBy('complaint.seen_at', 'desc')
    .orderBy('complaint.complaint_id', 'desc')
    .offset(offset)
    .limit(limit)
    .execute();

  const judged = await judgeAll(db, rows);
  const plans = await plansOf(db, rows);
  return { total, complaints: judged.map((each) => complaintView(each, plans)) };
}

type Plans = ReadonlyMap<number, readonly PlanVersion[]>;

async function plansOf(db: Db, rows: readonly NamedRow[]): Promise<Plans> {
  const named = rows.filter(({ rf_channel }) => rf_channel !== null).flatMap(({ plan_id }) => plan_id ?? []);
  const plans = new Map<number, readonly PlanVersion[]>();
  for (const planId of new Set(named)) plans.set(planId, await loadPlanVersions(db, planId));
  return plans;
}

function complaintView({ row, judgement }: JudgedComplaint<NamedRow>, plans: Plans): ComplaintView {
  const versions = row.rf_channel === null ? [] : (plans.get(row.plan_id ?? 0) ?? []);
  const plan = planInForce(versions, row.seen_at.getTime());
  const carrier = plan?.channels.find(({ channel }) => channel === row.rf_channel);
  return {
    siteId: row.site_id,
    complaintId: row.complaint_id,
    siteName: row.site_name,
    town: row.town,
    timeZone: row.time_zone,
    seenAt: row.seen_at.toISOString(),
    pointId: row.point_id,
    pointName: pointNameOf(row),
    outlet: row.outlet,
    symptom: row.symptom,
    viewerChannel: row.viewer_channel,
    rfChannel: row.rf_channel,
    rfMhz: carrier?.centreMhz ?? null,
    services: plan === null ? [] : [...servicesOnChannel(plan, row.rf_channel!)],
    note: row.note,
    loggedBy: row.logged_by,
    loggedAt: row.logged_at.toISOString(),
    judgement: judgementView(judgement),
  };
}

function pointNameOf({ point_id, point_name, point_label }: NamedRow): string | null {
  if (point_id === null) return null;
  return point_name === null
    ? 'a point no longer there'
    : titleOf({ name: point_name, label: point_label ?? '' });
}

function judgementView(judgement: Judgement): JudgementView {
  const by = judgement.verdict === 'not-seen' ? null : judgement.by;
  return {
    verdict: judgement.verdict,
    by: by && {
      source: by.source,
      title: by.title,
      alertId: by.alertId,
      toldAt: new Date(by.toldMs).toISOString(),
      onsetAt: new Date(by.onsetMs).toISOString(),
    },
    leadHours: judgement.verdict === 'warned' ? judgement.leadMs / HOUR_MS : null,
    deviationDb: judgement.verdict === 'below-notice' ? judgement.deviationDb : null,
    read: judgement.verdict !== 'not-seen' || judgement.read,
  };
}
