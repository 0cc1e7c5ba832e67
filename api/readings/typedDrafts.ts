import { matchChannels } from '../../ingest/plan/matchChannels.ts';
import type { Db } from '../../ingest/store/database.ts';
import type { Actor } from '../accounts/actor.ts';
import { type TypedDraft, TypedDraftSchema, type TypedDrafts } from '../schemas/typedReadings.ts';
import { typedContext } from './typedContext.ts';
import { typedVerdict } from './typedVerdict.ts';

/** After so long nobody waits for it any more. */
const SHOWN_MS = 12 * 3_600_000;
/** A draft that was saved is shown as such for a while. */
const SAVED_SHOWN_MS = 3_600_000;

/** Keeps what a person has typed so far at a point, in place of what was there before. */
export async function keepDraft(
  db: Db,
  place: { readonly siteId: number; readonly pointId: number },
  actor: Actor,
  draft: TypedDraft,
  nowMs: number,
): Promise<void> {
  const now = new Date(nowMs);
  await db
    .insertInto('typed_draft')
    .values({
      site_id: place.siteId,
      point_id: place.pointId,
      person: personOf(actor),
      name: actor.name,
      draft: JSON.stringify(draft),
      started_at: now,
      updated_at: now,
      saved_at: null,
    })
    .onConflict((conflict) =>
      conflict.columns(['site_id', 'point_id', 'person']).doUpdateSet((set) => ({
        name: set.ref('excluded.name'),
        draft: set.ref('excluded.draft'),
        // What was saved is over: the next figure begins another.
        started_at: set
          .case()
          .when('typed_draft.saved_at', 'is', null)
          .then(set.ref('typed_draft.started_at'))
          .else(set.ref('excluded.started_at'))
          .end(),
        updated_at: set.ref('excluded.updated_at'),
        saved_at: null,
      })),
    )
    .execute();
  await db
    .deleteFrom('typed_draft')
    .where('site_id', '=', place.siteId)
    .where('updated_at', '<', new Date(nowMs - SHOWN_MS))
    .execute();
}

/** Notes that a person's draft has become a sweep. */
export async function markSaved(
  db: Db,
  place: { readonly siteId: number; readonly pointId: number },
  actor: Actor,
  nowMs: number,
): Promise<void> {
  await db
    .updateTable('typed_draft')
    .set({ saved_at: new Date(nowMs) })
    .where('site_id', '=', place.siteId)
    .where('point_id', '=', place.pointId)
    .where('person', '=', personOf(actor))
    .execute();
}

/** Drops what a person has typed at a point and won't save. */
export async function dropDraft(db: Db, siteId: number, pointId: number, actor: Actor): Promise<void> {
  await db
    .deleteFrom('typed_draft')
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .where('person', '=', personOf(actor))
    .execute();
}

/** What people are typing at a point, judged as they see it. Throws NotFound when there is no such point. */
export async function typedDrafts(
  db: Db,
  siteId: number,
  pointId: number,
  nowMs: number,
): Promise<TypedDrafts> {
  const context = await typedContext(db, siteId, pointId, nowMs);
  const { site, point, plan } = context;
  const rows = await db
    .selectFrom('typed_draft')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .where('updated_at', '>=', new Date(nowMs - SHOWN_MS))
    .where((where) =>
      where.or([where('saved_at', 'is', null), where('saved_at', '>=', new Date(nowMs - SAVED_SHOWN_MS))]),
    )
    .orderBy('updated_at', 'desc')
    .execute();
  return {
    at: new Date(nowMs).toISOString(),
    site: { siteId, name: site.name, timeZone: site.time_zone },
    point: { pointId, name: point.name, label: point.label },
    drafts: rows.map((row) => {
      const draft = TypedDraftSchema.parse(row.draft);
      return {
        name: row.name,
        startedAt: row.started_at.toISOString(),
        updatedAt: row.updated_at.toISOString(),
        savedAt: row.saved_at?.toISOString() ?? null,
        draft,
        channels: draft.readings.map(({ freqMhz }) =>
          plan === null ? null : (matchChannels([freqMhz], plan).channels[0]?.channel ?? null),
        ),
        verdict: typedVerdict(draft, context),
      };
    }),
  };
}

function personOf({ email, name, via }: Actor): string {
  return email ?? `${via} ${name}`;
}
