import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { readConfig } from '../../ingest/agent/config/readConfig.ts';
import { withDatabase } from '../support/withDatabase.ts';
import { launch, MISSING, PHONE } from '../web/fixtures/openPage.ts';
import { type Installation, startInstallation } from './installation.ts';

const MINUTE_MS = 60_000;
/** RF 2 to 6 analogue at their picture carriers, then forty digital channels from RF 7 up. */
const ANALOGUE_MHZ = [55.25, 61.25, 67.25, 77.25, 83.25];
const DIGITAL_MHZ = Array.from({ length: 40 }, (_, i) => 177 + 6 * i);
const LOST_MHZ = 417;

const title = MISSING
  ? `a site set up step by step (skipped: ${MISSING})`
  : 'a site set up step by step, on a phone';

describe.skipIf(MISSING !== null)(title, () => {
  const database = withDatabase();
  let installation: Installation;
  let browser: Browser;
  let page: Page;
  let siteKey = '';
  const complaints: string[] = [];

  beforeAll(async () => {
    installation = await startInstallation(database.url);
    browser = await launch();
    page = await (await browser.newContext({ viewport: PHONE, timezoneId: 'America/Chicago' })).newPage();
    page.setDefaultTimeout(15_000);
    page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()));
    page.on('pageerror', (error) => complaints.push(String(error)));
    await page.goto(installation.server.setupLink!);
    await page.getByLabel('E-mail').fill('ada@levelkeep.test');
    await page.getByLabel('Your name').fill('Ada Field');
    await page.getByLabel('Password').fill('seven quiet splitters');
    await page.getByRole('button', { name: 'Make the account' }).click();
  });
  afterAll(async () => {
    await browser.close();
    await installation.server.stop();
  });

  test('begins on the empty fleet page, with the zone of the reader’s own clock', async () => {
    await page.getByRole('link', { name: 'Set up the first site' }).click();
    await page.getByLabel('Name', { exact: true }).fill('Mill House');
    expect(await page.getByLabel('Time zone').inputValue()).toBe('America/Chicago');
    await page.getByLabel('Outlets in the building').fill('60');
    await page.getByRole('button', { name: 'Make the site' }).click();
    await page.getByRole('heading', { name: '2. Provider and channel plan' }).waitFor();
    await fits();
  });

  test('takes a provider that nobody had entered, and goes on without a plan', async () => {
    await page.getByText('Add a provider that is not in the list').click();
    await page.getByLabel('Provider’s name').fill('Northlink Cable');
    await page.getByRole('button', { name: 'Add and use here' }).click();
    await page.waitForFunction(
      () => document.querySelector('select')?.selectedOptions[0]?.text === 'Northlink Cable',
    );
    await next('3. Points');
  });

  test('begins with a ready tree', async () => {
    await page.getByRole('button', { name: 'Add these points' }).click();
    await page.getByRole('link', { name: 'Baseline of Farthest outlet' }).waitFor();
    await fits();
    await next('4. How readings come');
  });

  test('goes on where it was left, whatever page is loaded again', async () => {
    await page.goto(page.url().replace(/\?.*/, ''));
    await page.getByRole('heading', { name: '4. How readings come' }).waitFor();
    await page.getByText('Still missing: 5 things').waitFor();
  });

  test('decides how each point is read, and hands out a config that the agent takes', async () => {
    const ways = page.getByLabel('How its readings come');
    await ways.nth(0).selectOption({ label: 'An agent on site reads a cable modem' });
    await page.getByLabel('Address of the modem').fill('192.0.2.10');
    for (const place of [1, 2, 3]) {
      await ways.nth(place).selectOption({ label: 'A program of ours sends them with the site key' });
    }
    for (const point of ['Handoff', 'Amplifier', 'Nearest outlet', 'Farthest outlet']) {
      await page.getByRole('button', { name: `Keep how ${point} is read` }).click();
    }
    await page.getByText('Kept.').nth(3).waitFor();
    await fits();
    await next('5. Site key and agent');
    await page.getByLabel('What will hold the key').fill('box in the basement');
    await page.getByRole('button', { name: 'Issue a key' }).click();
    siteKey = await page.getByLabel('The site key').inputValue();
    await fits();

    const folder = mkdtempSync(path.join(tmpdir(), 'levelkeep-guide-'));
    try {
      writeFileSync(path.join(folder, 'site.key'), siteKey, { mode: 0o600 });
      const file = path.join(folder, 'agent.json');
      writeFileSync(file, (await page.getByLabel('agent.json', { exact: true }).textContent())!);
      const config = readConfig(file, {});
      expect(config.readKey()).toBe(siteKey);
      expect(config.url.origin).toBe(installation.origin);
      expect(config.probes).toMatchObject([{ point: 'handoff', driver: 'modem', host: '192.0.2.10' }]);
    } finally {
      rmSync(folder, { recursive: true });
    }
    await next('6. First readings');
  });

  test('shows first readings as they come in, and why a sweep was refused', async () => {
    await page.getByText('0 of 4 points heard').waitFor();
    await send(['handoff', 'amp', 'outlet-near']);
    await page.getByText('3 of 4 points heard').waitFor();
    await page.getByText('45 found, 1 not found').first().waitFor();
    await send(['attic']);
    await page.getByText('the site has no point of that name').first().waitFor();
    await fits();
  });

  test('finds the plan from them, leaves out what the feed lacks, and judges by it at once', async () => {
    await page.getByRole('link', { name: 'Have it found from these readings.' }).click();
    await page.getByRole('button', { name: 'Find the plan' }).click();
    await page.getByText('Raster: STD, sure.').waitFor();
    await page.getByLabel(/^RF \d+, 417 MHz: not found$/).waitFor();
    await page.getByText('Channel by channel (46)').click();
    expect(await page.getByLabel('Modulation of RF 6', { exact: true }).inputValue()).toBe('analogue');
    await fits();
    await page.getByRole('button', { name: 'Confirm: a plan of 45 channels' }).click();
    await page.getByText('Still missing: 2 things').waitFor();
  });

  test('accepts its baselines, and is turned over with what is still open', async () => {
    await page.goto(`${page.url().replace(/\?.*/, '')}?step=baseline`);
    for (const point of ['Handoff', 'Amplifier', 'Nearest outlet']) {
      await page.getByRole('link', { name: `Take the baseline of ${point}` }).click();
      await page.getByRole('button', { name: 'Preview' }).click();
      const why = page.getByLabel('Why is it accepted although');
      await page.getByRole('heading', { name: 'Accept', exact: true }).waitFor();
      if (await why.isVisible()) await why.fill('first day; levels are set next week');
      await page.getByRole('button', { name: /^Accept/ }).click();
      await page.getByText('accepted by Ada Field').waitFor();
      await page.getByRole('link', { name: 'Back to the set-up, step by step' }).click();
      await page.getByRole('heading', { name: '7. Baselines' }).waitFor();
    }
    await next('8. Turnover');
    await page.getByText('Not yet: 2 steps still open').waitFor();
    await send(['outlet-far']);
    await page.getByText('Not yet: 1 step still open').waitFor();
    await page.getByRole('link', { name: 'Go to the site' }).click();
    await page.getByRole('heading', { name: 'Mill House' }).waitFor();
  });

  test('has its plan renamed on the plan’s own page', async () => {
    await page.goto(`${installation.origin}/setup/plans`);
    await page.getByRole('link', { name: 'Mill House, as found' }).click();
    await page.getByRole('button', { name: 'Rename' }).click();
    await page.getByLabel('New name').fill('Northlink basic');
    await page.getByRole('button', { name: 'Save the name' }).click();
    await page.getByRole('heading', { name: 'Northlink basic' }).waitFor();
  });

  test('is joined by others from a spreadsheet, after a look that keeps nothing', async () => {
    await page.goto(`${installation.origin}/setup/import`);
    const sites =
      'name;time_zone;outlets;plan\nHarbour;America/Chicago;4;Northlink basic\nQuay;America/Chicago;"1,5";\n';
    const points = 'site;point;kind\nHarbour;handoff;handoff\n';
    await page
      .getByLabel('Sites', { exact: true })
      .setInputFiles({ name: 's.csv', mimeType: 'text/csv', buffer: Buffer.from(sites) });
    await page
      .getByLabel('Points', { exact: true })
      .setInputFiles({ name: 'p.csv', mimeType: 'text/csv', buffer: Buffer.from(points) });
    await page.getByRole('button', { name: 'Look first' }).click();
    await page.getByText('Sites, row 3, column outlets').waitFor();
    expect(await siteNames()).toEqual(['Mill House']);
    await fits();
    await page.getByRole('button', { name: 'Bring in 1 site' }).click();
    await page.getByText('What was done').waitFor();
    expect(await siteNames()).toEqual(['Harbour', 'Mill House']);
  });

  test('refuses a sheet that is not UTF-8 before it is sent', async () => {
    const latin1 = Buffer.from('name\nM\u00fchle\n', 'latin1');
    await page
      .getByLabel('Sites', { exact: true })
      .setInputFiles({ name: 's.csv', mimeType: 'text/csv', buffer: latin1 });
    await page.getByText('is not UTF-8 text').waitFor();
    expect(await page.getByRole('button', { name: 'Look first' }).isDisabled()).toBe(true);
  });

  test('meets no error in the browser on the way', () => {
    expect(complaints).toEqual([]);
  });

  async function next(heading: string): Promise<void> {
    await page.getByRole('link', { name: /^Next: / }).click();
    await page.getByRole('heading', { name: heading }).waitFor();
  }

  /** Three sweeps of each point within the last minutes. */
  async function send(points: readonly string[]): Promise<void> {
    const freqMhz = [...ANALOGUE_MHZ, ...DIGITAL_MHZ];
    const isAnalogue = freqMhz.map((mhz) => ANALOGUE_MHZ.includes(mhz));
    const sweeps = points.flatMap((point) =>
      [3, 2, 1].map((minutes) => ({
        point,
        at: new Date(Date.now() - minutes * MINUTE_MS).toISOString(),
        instrument: 'probe-7',
        freq_mhz: freqMhz,
        level_dbmv: freqMhz.map((mhz) => Math.round((18 - mhz / 500 + minutes / 100) * 100) / 100),
        mer_db: isAnalogue.map((analogue) => (analogue ? null : 39)),
        cnr_db: isAnalogue.map((analogue) => (analogue ? 47 : null)),
        lost: [LOST_MHZ],
      })),
    );
    const answer = await fetch(`${installation.origin}/ingest/sweeps`, {
      method: 'POST',
      headers: { authorization: `Bearer ${siteKey}`, 'content-type': 'application/json' },
      body: JSON.stringify({ sweeps }),
    });
    expect(answer.status).toBe(200);
  }

  async function siteNames(): Promise<string[]> {
    const rows = await database.db.selectFrom('site').select('name').orderBy('name').execute();
    return rows.map(({ name }) => name);
  }

  async function fits(): Promise<void> {
    await page.waitForFunction(() => document.querySelector('.waiting') === null);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(PHONE.width);
  }
});
