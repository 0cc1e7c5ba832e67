import { beforeAll, describe, expect, test } from 'vitest';
import { runEnginePass } from '../../api/engine/runEnginePass.ts';
import { acceptBaselines } from '../../seed/demo/acceptBaselines.ts';
import { deliverThrough } from '../../seed/demo/deliver.ts';
import { originOf } from '../../seed/demo/originOf.ts';
import { BASELINE_DAYS, DAY_MS } from '../../seed/demo/pacing.ts';
import { sendHistory } from '../../seed/demo/sendHistory.ts';
import { type SetUpSite, setUpFleet } from '../../seed/demo/setUpFleet.ts';
import { demoFleet } from '../../seed/fleet/demoFleet.ts';
import { demoTruth, type Truth } from '../../seed/truth.ts';
import { withDatabase } from '../support/withDatabase.ts';

/** Weather and noise follow the calendar, so the day is fixed. */
const NOW_MS = Date.UTC(2026, 2, 1, 12);
/** Long enough for the oldest story, which is 60 days old. */
const BEGIN_MS = NOW_MS - 70 * DAY_MS;
const INSTALLED_MS = BEGIN_MS + BASELINE_DAYS * DAY_MS;

const FAULTY = {
  tiredOutputStage: 'Saint Odra Hospital',
  feedDownFourDb: 'Heatherbank Residence',
  floodedDuct: 'Fort Ashgrove Quarters',
  silentModulator: 'Redmesa Lodge Hotel',
  quietBox: 'Aspenholt School',
  hissingAmplifier: 'Greywether Infirmary',
} as const;
const REPAIRED = 'Lanternquay Hotel';
const STEADY = ['Snowfield Residence', 'Drywell Street School', 'Ferry Street Residence'];

describe('a small fleet sent through ingest and engine', () => {
  const database = withDatabase();
  let sites: SetUpSite[];

  beforeAll(async () => {
    const { db, pool } = database;
    const names: string[] = [...Object.values(FAULTY), REPAIRED, ...STEADY];
    const fleet = demoFleet(NOW_MS).filter(({ name }) => names.includes(name));
    const deliver = deliverThrough({ db, pool }, () => NOW_MS);
    const { signal } = new AbortController();

    sites = await setUpFleet(db, fleet, NOW_MS, () => {});
    const first = { fromMs: BEGIN_MS, toMs: INSTALLED_MS, nowMs: NOW_MS };
    await sendHistory(db, deliver, sites, first, () => {}, signal);
    for (const site of sites) await acceptBaselines(db, site, BEGIN_MS, INSTALLED_MS);
    const rest = { fromMs: INSTALLED_MS, toMs: NOW_MS, nowMs: NOW_MS };
    await sendHistory(db, deliver, sites, rest, () => {}, signal);
    await runEnginePass({ db, pool }, { nowMs: NOW_MS });
  }, 240_000);

  async function findingsAt(siteName: string) {
    const { siteId } = sites.find(({ site }) => site.name === siteName)!;
    return database.db
      .selectFrom('finding')
      .innerJoin('point', (join) =>
        join.onRef('point.site_id', '=', 'finding.site_id').onRef('point.point_id', '=', 'finding.point_id'),
      )
      .select(['point.name as point', 'finding.kind', 'metric', 'onset_at', 'size_db', 'closed_at'])
      .where('finding.site_id', '=', siteId)
      .execute();
  }

  const truthOf = (scenario: string): Truth => demoTruth(NOW_MS).find(({ name }) => name === scenario)!;

  test('ranks every building with a fault that costs service above every steady one', async () => {
    const ranked = await database.db
      .selectFrom('site_risk')
      .innerJoin('site', 'site.site_id', 'site_risk.site_id')
      .select(['name', 'outlet_days', 'verdict'])
      .orderBy('outlet_days', 'desc')
      .execute();
    const rankOf = (name: string) => ranked.findIndex((row) => row.name === name);
    const worstSteady = Math.min(...STEADY.map(rankOf));
    for (const name of Object.values(FAULTY)) {
      expect(rankOf(name), `${name} before ${ranked[worstSteady]!.name}`).toBeLessThan(worstSteady);
    }
    for (const name of STEADY) expect(ranked[rankOf(name)]!.verdict, name).toBe('steady');
  });

  test.each([
    ['tiredOutputStage', 'gear-out', 'drift', 'level'],
    ['feedDownFourDb', 'handoff', 'step', 'level'],
    ['floodedDuct', 'far-amp', 'drift', 'tilt'],
    ['hissingAmplifier', 'gear-out', 'drift', 'mer'],
  ] as const)('finds %s at its hop, as a %s', async (scenario, point, kind, metric) => {
    const [change] = truthOf(scenario).changes;
    const finding = (await findingsAt(FAULTY[scenario])).find(
      (row) => row.point === point && row.kind === kind && row.metric === metric && row.closed_at === null,
    );
    expect(finding).toBeDefined();
    const daysOff = Math.abs(finding!.onset_at.getTime() - Date.parse(change!.onsetAt)) / DAY_MS;
    expect(daysOff).toBeLessThan(kind === 'step' ? 0.2 : 6);
    expect(Math.sign(finding!.size_db)).toBe(Math.sign(change!.sizeDb));
  });

  test('finds the lost channel where it is lost and not above', async () => {
    const findings = await findingsAt(FAULTY.silentModulator);
    const lost = findings.filter(({ kind }) => kind === 'channel-lost').map(({ point }) => point);
    expect(lost).toContain('amplifier');
    expect(lost).not.toContain('handoff');
  });

  test('closes the finding of a splitter that was put right', async () => {
    const [change] = truthOf('repairedSplitter').changes;
    const step = (await findingsAt(REPAIRED)).find(
      ({ kind, point }) => kind === 'step' && point === 'amplifier',
    );
    expect(step).toBeDefined();
    expect(Math.abs(step!.size_db - change!.sizeDb)).toBeLessThan(0.3);
    expect(Math.abs(step!.closed_at!.getTime() - Date.parse(change!.endAt!)) / DAY_MS).toBeLessThan(1);
  });

  test('has nothing open at steady buildings, hot ceiling and swapped probe among them', async () => {
    for (const name of STEADY) {
      const open = (await findingsAt(name)).filter(({ closed_at }) => closed_at === null);
      expect(open, name).toEqual([]);
    }
  });

  test('is completed by a second start and not entered twice', async () => {
    const fleet = sites.map(({ site }) => site);
    const again = await setUpFleet(database.db, fleet, NOW_MS, () => {});
    expect(again.map(({ siteId, pointIds }) => [siteId, [...pointIds]])).toEqual(
      sites.map(({ siteId, pointIds }) => [siteId, [...pointIds]]),
    );
    for (const site of again) {
      expect(await acceptBaselines(database.db, site, BEGIN_MS, INSTALLED_MS)).toBe(0);
    }
    expect(await originOf(database.db, NOW_MS + DAY_MS)).toBe(NOW_MS);
  });
});
