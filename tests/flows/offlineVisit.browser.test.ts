import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { givenDrift } from '../support/givenFindings.ts';
import { givenPoint, givenSite } from '../support/givenSite.ts';
import { withDatabase } from '../support/withDatabase.ts';
import { launch, MISSING, PHONE } from '../web/fixtures/openPage.ts';
import { type Installation, startInstallation } from './installation.ts';

const HOUR_MS = 3_600_000;
const title = MISSING ? `a visit without a network (skipped: ${MISSING})` : 'a visit without a network';

describe.skipIf(MISSING !== null)(title, () => {
  const database = withDatabase();
  let installation: Installation;
  let browser: Browser;
  let context: BrowserContext;
  let page: Page;

  beforeAll(async () => {
    installation = await startInstallation(database.url);
    await givenTrouble();
    browser = await launch();
    context = await browser.newContext({ viewport: PHONE, timezoneId: 'America/Chicago' });
    page = await context.newPage();
    page.setDefaultTimeout(10_000);
    await page.goto(installation.server.setupLink!);
    await page.getByLabel('E-mail').fill('ada@levelkeep.test');
    await page.getByLabel('Your name').fill('Ada Field');
    await page.getByLabel('Password').fill('seven quiet splitters');
    await page.getByRole('button', { name: 'Make the account' }).click();
    await page.getByRole('link', { name: 'Visits' }).click();
  });
  afterAll(async () => {
    await browser.close();
    await installation.server.stop();
  });

  async function givenTrouble(): Promise<void> {
    const { db } = database;
    const siteId = await givenSite(db, { name: 'Larch Court', access_notes: 'Riser key at the desk' });
    const handoff = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
    const riser = await givenPoint(db, siteId, { name: 'riser', kind: 'amplifier', fed_by: handoff });
    await givenDrift(db, siteId, riser, Date.now() - 200 * HOUR_MS);
  }

  const alerts = () => database.db.selectFrom('alert').select('closed_at').execute();
  const recorded = () => database.db.selectFrom('visit_result').selectAll().execute();

  test('begins with a day that is proposed, kept, and kept on the phone', async () => {
    await expect.poll(alerts, { timeout: 60_000 }).toEqual([{ closed_at: null }]);
    await page.getByRole('button', { name: 'Propose a day' }).click();
    await page.getByRole('button', { name: 'Keep this day' }).click();
    await page.getByRole('heading', { name: '1. Larch Court' }).waitFor();
    await page.getByText('Kept on this device').waitFor();
  });

  test('opens in a cellar, with access notes and what to check first', async () => {
    await context.setOffline(true);
    await page.reload();
    await page.getByText('No network.').waitFor();
    await page.getByText('Riser key at the desk').waitFor();
    await page.getByText('measure at handoff, then at riser').waitFor();
    expect(await page.getByText('Check first').count()).toBeGreaterThan(0);
  });

  test('keeps a half-typed result when the phone drops the page', async () => {
    await page.getByRole('button', { name: 'Record a result' }).click();
    await page.getByLabel('Repaired').check();
    await page.getByLabel('What I found').fill('Green copper in the lowest splitter');
    await page.reload();
    await page.getByText('No network.').waitFor();
    expect(await page.getByLabel('What I found').inputValue()).toBe('Green copper in the lowest splitter');
  });

  test('keeps a saved result on the phone, and says that it waits', async () => {
    await page.getByRole('button', { name: 'Save the result' }).click();
    await page.getByText('1 result waits on this device').waitFor();
    await page.reload();
    await page.getByText('1 result waits on this device').waitFor();
    expect(await recorded()).toEqual([]);
  });

  test('sends it by itself once the network is back, and once only', async () => {
    await context.setOffline(false);
    await page.getByText('waiting for sweeps to confirm').waitFor({ timeout: 40_000 });
    expect(await page.getByText('waits on this device').count()).toBe(0);
    expect(await recorded()).toMatchObject([
      { outcome: 'repaired', found: 'Green copper in the lowest splitter', recorded_by: 'Ada Field' },
    ]);
    expect(await alerts()).toEqual([{ closed_at: null }]);
  });

  test('leaves no day on the phone after signing out', async () => {
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByRole('heading', { name: 'Sign in' }).waitFor();
    const kept = await page.evaluate(() =>
      Object.keys(localStorage).filter((key) => key.includes('visit-day')),
    );
    expect(kept).toEqual([]);
  });
});
