import { normalNoise } from '../api/trend/noise.ts';
import { ok } from '../support/answers.ts';
import { givenPoint, givenSite, THIRTY_CHANNELS } from '../support/givenSite.ts';
import { ORIGIN, type TestApp } from '../support/testApp.ts';

/** What a carrier lies at besides noise, dBmV; null where the feed doesn't carry it. */
export type LevelAt = (point: string, freqMhz: number, atMs: number) => number | null;

/** handoff → riser → outlet, with a box that sweeps the points and sends with the site's key. */
export interface SweptBuilding {
  readonly siteId: number;
  readonly name: string;
  readonly pointIds: Readonly<Record<string, number>>;
  readonly key: string;
}

/** What the levels are where all is well. */
export const WELL_DBMV: Readonly<Record<string, number>> = { handoff: 20, riser: 12, outlet: 4 };

/** A building of 40 outlets swept every `everyMs`, with points of {@link WELL_DBMV} from the handoff on. */
export async function givenSweptBuilding(
  levelkeep: TestApp,
  site: Parameters<typeof givenSite>[1] & { readonly name: string },
  everyMs: number,
  points: readonly string[] = ['handoff', 'riser', 'outlet'],
): Promise<SweptBuilding> {
  const { db } = levelkeep;
  const siteId = await givenSite(db, { outlets: 40, ...site });
  const pointIds: Record<string, number> = {};
  for (const [i, name] of points.entries()) {
    const kind = { handoff: 'handoff', riser: 'amplifier', outlet: 'outlet' } as const;
    pointIds[name] = await givenPoint(db, siteId, {
      name,
      kind: kind[name as keyof typeof kind],
      interval_s: everyMs / 1000,
      fed_by: i === 0 ? null : pointIds[points[i - 1]!]!,
      outlets: name === 'outlet' ? 40 : 0,
    });
  }
  const issued = await levelkeep.send('manager', 'POST', `/api/sites/${siteId}/keys`, { label: 'box' });
  return { siteId, name: site.name, pointIds, key: (await ok<{ key: string }>(issued)).key };
}

/** The box posts in one request what it read at every point at these moments. `lookedForMhz`: the channels that it knows of. */
export async function boxSends(
  { app }: TestApp,
  building: SweptBuilding,
  atMs: readonly number[],
  levelAt: LevelAt,
  lookedForMhz = THIRTY_CHANNELS.map(({ centreMhz }) => centreMhz),
): Promise<void> {
  const sweeps = atMs.flatMap((ms) => sweepsOf(building, ms, levelAt, lookedForMhz));
  const answer = await app.request(`${ORIGIN}/ingest/sweeps`, {
    method: 'POST',
    headers: { authorization: `Bearer ${building.key}`, 'content-type': 'application/json' },
    body: JSON.stringify({ sweeps }),
  });
  const { accepted, rejected } = await ok<{ accepted: number; rejected: unknown[] }>(answer);
  if (accepted !== sweeps.length) throw new Error(`rejected: ${JSON.stringify(rejected[0])}`);
}

function sweepsOf(building: SweptBuilding, atMs: number, levelAt: LevelAt, lookedForMhz: readonly number[]) {
  const normal = normalNoise(atMs / 60_000 + 7919 * building.siteId);
  const feedDb = 0.1 * normal();
  return Object.keys(building.pointIds).map((point) => {
    const levels = lookedForMhz.map((mhz) => ({ mhz, dbmv: levelAt(point, mhz, atMs) }));
    return {
      point,
      at: new Date(atMs).toISOString(),
      instrument: `probe-${building.siteId}`,
      ambient_c: 21,
      freq_mhz: lookedForMhz,
      level_dbmv: levels.map(({ dbmv }) =>
        dbmv === null ? null : hundredth(dbmv + feedDb + 0.2 * normal()),
      ),
      mer_db: levels.map(({ dbmv }) => (dbmv === null ? null : hundredth(40 + 0.2 * normal()))),
      lost: levels.filter(({ dbmv }) => dbmv === null).map(({ mhz }) => mhz),
    };
  });
}

/** Accepts what the window holds as the baseline of every point, as a technician does. */
export async function acceptBaselines(
  levelkeep: TestApp,
  { siteId, pointIds }: SweptBuilding,
  fromMs: number,
  toMs: number,
): Promise<void> {
  const window = { from: new Date(fromMs).toISOString(), to: new Date(toMs).toISOString() };
  for (const pointId of Object.values(pointIds)) {
    const path = `/api/sites/${siteId}/points/${pointId}/baselines`;
    await ok(await levelkeep.send('technician', 'POST', path, window));
  }
}

function hundredth(value: number): number {
  return Math.round(value * 100) / 100;
}
