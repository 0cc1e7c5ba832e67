import { beforeEach, describe, expect, test } from 'vitest';
import { siteView } from '../../../api/risk/siteView.ts';
import type { CauseView } from '../../../api/schemas/cause.ts';
import { FindingSchema } from '../../../api/schemas/common.ts';
import { givenDrift } from '../../support/givenFindings.ts';
import { givenPoint, givenSite } from '../../support/givenSite.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();
const HOUR = 3_600_000;
const ONSET = Date.parse('2026-11-02T12:00:00Z');
const NOW = Date.parse('2026-11-12T20:30:00Z');
const STEP = { kind: 'step', size_db: -4, slope_db_per_day: null } as const;

interface Building {
  readonly siteId: number;
  readonly handoff: number;
  readonly amplifier: number;
  readonly outlet: number;
}

let providerId: number;
let here: Building;

beforeEach(async () => {
  const { db } = database;
  const { provider_id } = await db
    .insertInto('provider')
    .values({ name: `Provider ${crypto.randomUUID()}` })
    .returning('provider_id')
    .executeTakeFirstOrThrow();
  providerId = provider_id;
  here = await givenBuilding(providerId);
});

async function givenBuilding(provider: number | null): Promise<Building> {
  const { db } = database;
  const siteId = await givenSite(db, { provider_id: provider });
  const handoff = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
  const amplifier = await givenPoint(db, siteId, { name: 'amplifier', kind: 'amplifier', fed_by: handoff });
  const outlet = await givenPoint(db, siteId, {
    name: 'outlet',
    fed_by: amplifier,
    hop_note: '4-way splitter, 40 m of cable',
  });
  return { siteId, handoff, amplifier, outlet };
}

/** Causes of the site's findings by the point that shows them. */
async function causes(): Promise<Map<number, CauseView[]>> {
  const { findings } = await siteView(database.db, here.siteId, NOW);
  for (const finding of findings) FindingSchema.parse(finding);
  return new Map(findings.map((finding) => [finding.pointId, finding.causes]));
}

describe('causes on the site page', () => {
  test('come from what the set-up says of the hop', async () => {
    const { db } = database;
    await givenDrift(db, here.siteId, here.amplifier, ONSET);
    await givenDrift(db, here.siteId, here.outlet, ONSET, { ...STEP, size_db: -3.6 });
    const told = await causes();
    expect(told.get(here.amplifier)![0]!.cause).toBe('amplifier-gain');
    const [first] = told.get(here.outlet)!;
    expect(first!.cause).toBe('passive-changed');
    expect(first!.evidence.join(' ')).toContain('“4-way splitter, 40 m of cable”');
  });

  test('are left to the finding that explains another', async () => {
    const { db } = database;
    await givenDrift(db, here.siteId, here.outlet, ONSET, {
      hop_from: here.handoff,
      hop_to: here.amplifier,
      explained_by: here.amplifier,
    });
    expect((await causes()).get(here.outlet)).toEqual([]);
  });

  test('count the provider’s other sites that changed alike, and no others', async () => {
    const { db } = database;
    await givenDrift(db, here.siteId, here.handoff, ONSET, STEP);
    const alone = (await causes()).get(here.handoff)![0]!;
    expect(alone.cause).toBe('provider-feed');
    expect(alone.evidence.join(' ')).not.toContain('other site');

    for (const onsetMs of [ONSET - HOUR, ONSET + 2 * HOUR]) {
      const there = await givenBuilding(providerId);
      await givenDrift(db, there.siteId, there.handoff, onsetMs, STEP);
    }
    const stranger = await givenBuilding(null);
    await givenDrift(db, stranger.siteId, stranger.handoff, ONSET, STEP);
    const inside = await givenBuilding(providerId);
    await givenDrift(db, inside.siteId, inside.outlet, ONSET, STEP);
    const later = await givenBuilding(providerId);
    await givenDrift(db, later.siteId, later.handoff, ONSET + 48 * HOUR, STEP);

    const shared = (await causes()).get(here.handoff)![0]!;
    expect(shared.evidence.join(' ')).toContain('2 other sites of the same provider');
    expect(shared.confidence).toBeGreaterThan(alone.confidence);
  });
});
