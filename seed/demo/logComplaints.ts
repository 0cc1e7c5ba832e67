import { logComplaint } from '../../api/complaints/logComplaint.ts';
import { type NewComplaint, NewComplaintSchema } from '../../api/schemas/complaints.ts';
import type { Db } from '../../ingest/store/database.ts';
import type { SetUpSite } from './setUpFleet.ts';

const HOUR_MS = 3_600_000;
const LOGGED_BY = 'Ines Halloran (service desk)';

interface Said {
  readonly site: string;
  readonly hoursAgo: number;
  /** Name of the nearest test point in the layout; null when nobody knows. */
  readonly point: string | null;
  readonly said: Pick<NewComplaint, 'symptom' | 'outlet' | 'rfChannel' | 'note'>;
}

/** Two about planted faults, one at a building where nothing is wrong with the signal. */
const SAID: readonly Said[] = [
  {
    site: 'Saint Odra Hospital',
    hoursAgo: 3,
    point: 'ward-a',
    said: { symptom: 'breaks-up', outlet: 'Ward A, room 12', note: 'worst on the film channels' },
  },
  {
    site: 'Redmesa Lodge Hotel',
    hoursAgo: 20,
    point: null,
    said: { symptom: 'missing', rfChannel: '98', outlet: 'Room 204', note: 'the guest next door too' },
  },
  {
    site: 'Cypress Walk Care Home',
    hoursAgo: 30,
    point: null,
    said: { symptom: 'sound', outlet: 'Day room', note: 'only on one set' },
  },
];

/** Complaints as a service desk would log them, once. Returns how many were logged. */
export async function logComplaints(db: Db, sites: readonly SetUpSite[], nowMs: number): Promise<number> {
  const logged = await db.selectFrom('complaint').select('complaint_id').limit(1).executeTakeFirst();
  if (logged !== undefined) return 0;
  for (const { site, hoursAgo, point, said } of SAID) {
    const { siteId, pointIds } = sites.find((each) => each.site.name === site)!;
    const complaint = NewComplaintSchema.parse({
      ...said,
      seenAt: new Date(nowMs - hoursAgo * HOUR_MS).toISOString(),
      pointId: point === null ? null : pointIds.get(point)!,
    });
    await logComplaint(db, siteId, complaint, LOGGED_BY, nowMs);
  }
  return SAID.length;
}
