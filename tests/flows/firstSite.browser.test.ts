import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { IngestAnswer } from '../../ingest/contract/checkedSweep.ts';
import { ok } from '../support/answers.ts';
import { withDatabase } from '../support/withDatabase.ts';
import { launch, MISSING, PHONE, WIDE } from '../web/fixtures/openPage.ts';
import { buildingSweeps, FREQ_MHZ, HOUR_MS } from './buildingSweeps.ts';
import { type Installation, startInstallation } from './installation.ts';

const EMAIL = 'ada@levelkeep.test';
const PASSWORD = 'seven quiet splitters';
const ENGINE_MS = 20_000;

/** Whole hours: six days for the baseline, one of calm, and since then a day of 3 dB less. */
const UNTIL_MS = Math.floor(Date.now() / HOUR_MS) * HOUR_MS;
const STEP_MS = UNTIL_MS - 24 * HOUR_MS;
const CALM_UNTIL_MS = UNTIL_MS - 48 * HOUR_MS;
const FROM_MS = UNTIL_MS - 192 * HOUR_MS;

/** Name a folder there to keep pictures of the pages on the way. */
const PICTURES = process.env['LEVELKEEP_PICTURES'];

const title = MISSING ? `a first site (skipped: ${MISSING})` : 'a first site';

describe.skipIf(MISSING !== null)(title, () => {
  const database = withDatabase();
  let installation: Installation;
  let browser: Browser;
  let page: Page;
  let siteKey: string;
  const complaints: string[] = [];

  beforeAll(async () => {
    installation = await startInstallation(database.url);
    browser = await launch();
    page = await (await browser.newContext({ viewport: WIDE, timezoneId: 'America/Chicago' })).newPage();
    page.setDefaultTimeout(10_000);
    page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()));
    page.on('pageerror', (error) => complaints.push(String(error)));
  });
  afterAll(async () => {
    await browser.close();
    await installation.server.stop();
  });

  test('begins with the set-up link, which makes an administrator and signs in', async () => {
    await page.goto(installation.server.setupLink!);
    await page.getByLabel('E-mail').fill(EMAIL);
    await page.getByLabel('Your name').fill('Ada Field');
    await page.getByLabel('Password').fill(PASSWORD);
    await picture('welcome');
    await page.getByRole('button', { name: 'Make the account' }).click();
    await page.getByText('Ada Field, administrator').waitFor();
    expect(new URL(page.url()).pathname).toBe('/');
    await picture('fleet-empty');
  });

  test('lets a person out, and in again to the page that was asked for', async () => {
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByRole('heading', { name: 'Sign in' }).waitFor();

    await page.goto(`${installation.origin}/setup/providers`);
    await page.waitForURL('**/sign-in?next=%2Fsetup%2Fproviders');
    await picture('sign-in');
    await page.getByLabel('E-mail').fill(EMAIL);
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('heading', { name: 'Providers' }).waitFor();
    expect(new URL(page.url()).pathname).toBe('/setup/providers');
  });

  test('is handed a feed by a provider', async () => {
    await page.getByLabel('Name', { exact: true }).fill('Northlink Cable');
    await page.getByLabel('How to reach them about a handoff').fill('555-0100, ask for head-end');
    await page.getByRole('button', { name: 'Add' }).click();
    await page.getByText('555-0100, ask for head-end').waitFor();
    expect(await page.getByLabel('Name', { exact: true }).inputValue()).toBe('');
    await picture('providers');
  });

  test('gets a channel plan from the STD raster, with a programme that is found by its number', async () => {
    await page.getByRole('link', { name: 'Channel plans' }).click();
    await page.getByRole('link', { name: 'Make a plan' }).click();
    await page.getByLabel('Name', { exact: true }).fill('Northlink basic');
    await page.getByLabel('In force from').fill(localTime(FROM_MS - 24 * HOUR_MS));
    await page.getByLabel('From, MHz').fill('54');
    await page.getByLabel('To, MHz').fill('552');
    await page.getByRole('button', { name: 'Fill in the channels' }).click();
    await page.getByLabel('Programmes of RF 78', { exact: true }).fill('702 News; 703 Weather');
    await expectToFitPhone();
    await picture('plan-new');
    await page.getByRole('button', { name: 'Make the plan' }).click();
    await page.getByRole('heading', { name: 'Northlink basic' }).waitFor();
    await page.getByText(`${FREQ_MHZ.length} channels`).waitFor();
    await picture('plan');

    await page.getByRole('link', { name: 'Channel plans' }).click();
    await page.getByLabel('The viewer’s number or the programme’s name').fill('703');
    await page.getByText('RF 78').waitFor();
    await page.getByText('549 MHz').waitFor();
    await picture('plans');
  });

  test('is set up with its points from the handoff down', async () => {
    await page.getByRole('link', { name: 'Sites', exact: true }).click();
    await picture('sites-empty');
    await page.getByRole('link', { name: 'Set up a site' }).click();
    await page.getByLabel('Name', { exact: true }).fill('Mill House');
    await page.getByLabel('Town').fill('Elm Falls');
    await page.getByLabel('Outlets in the building').fill('120');
    await picture('site-new');
    await page.getByRole('button', { name: 'Make the site' }).click();
    await page.getByRole('heading', { name: 'Mill House' }).waitFor();
    await page.getByLabel('Who hands the feed over').selectOption({ label: 'Northlink Cable' });
    await page.getByText('The provider who hands the feed over.').waitFor({ state: 'detached' });
    await page
      .getByLabel('The channels that the feed should carry')
      .selectOption({ label: 'Northlink basic' });
    await page.getByText('The channel plan: choose one').waitFor({ state: 'detached' });
    await page.getByRole('link', { name: 'Next: Points' }).click();

    await page.getByRole('button', { name: 'Add the handoff' }).click();
    await addPoint({ label: 'Provider’s tap', every: '60' });
    await page.getByRole('button', { name: 'Add below Provider’s tap' }).click();
    await addPoint({
      name: 'amp-5',
      label: 'Riser amplifier, floor 5',
      kind: 'Amplifier',
      hop: '62 m of series 11, one two-way splitter',
      every: '60',
      outlets: '60',
    });
    await page.getByRole('button', { name: 'Add below Riser amplifier, floor 5' }).click();
    await addPoint({ name: 'room-512', label: 'Room 512', kind: 'Outlet', every: '60', outlets: '60' });
    await page.getByRole('link', { name: 'Sites', exact: true }).click();
    await page.getByRole('link', { name: 'Mill House' }).click();
    await page.getByRole('heading', { name: 'Site keys' }).waitFor();
    await expectToFitPhone();
    await picture('site-setup');
  });

  test('gets a key, with which its box sends six days of sweeps', async () => {
    await page.getByLabel('What will hold the key').fill('box in the basement');
    await page.getByRole('button', { name: 'Issue a key' }).click();
    siteKey = await page.getByLabel('The site key').inputValue();
    await picture('site-key');
    await page.getByRole('button', { name: 'Done' }).click();
    await page.getByText('never used').waitFor();

    const sweeps = buildingSweeps(FROM_MS, CALM_UNTIL_MS, STEP_MS);
    expect(await send(sweeps)).toEqual({ accepted: sweeps.length, duplicates: 0, rejected: [] });
    await page.reload();
    await page.getByText('last used').waitFor();
  });

  test('has a baseline refused without a word of why a channel lies outside, and accepted with it', async () => {
    await openBaseline('Provider’s tap');
    await page.getByText('Outside limits in this window (1)').waitFor();
    await picture('baseline-outside');
    await page.getByRole('button', { name: 'Accept with this exception' }).click();
    await page.getByText('None yet').waitFor();
    await page
      .getByLabel('Why is it accepted although something lies outside its limits?')
      .fill('RF 78 is weak on the whole feed; the provider mends it in spring.');
    await page.getByRole('button', { name: 'Accept with this exception' }).click();
    await page.getByText('exception: “RF 78 is weak on the whole feed').waitFor();
    await picture('baseline-accepted');
  });

  test('has the other baselines accepted as they are', async () => {
    for (const point of ['Riser amplifier, floor 5', 'Room 512']) {
      await openBaseline(point);
      await page.getByRole('button', { name: 'Accept as baseline' }).click();
      await page.getByText('accepted by Ada Field').waitFor();
    }
  });

  test('has a limit of one outlet changed for a reason', async () => {
    await page.getByRole('link', { name: 'Mill House' }).click();
    await page.getByText('Choose other limits here').click();
    await page.getByLabel('For', { exact: true }).selectOption({ label: 'Room 512' });
    await picture('limit-choice');
    await page.getByText('Change single figures of this set').click();
    await page.getByRole('group', { name: 'Level of a channel, 256-QAM' }).getByLabel('At least').fill('-6');
    await page.getByLabel('Reason').fill('long cords in these rooms');
    await page.getByRole('button', { name: 'Choose these limits' }).click();
    await page.getByText('“long cords in these rooms”').waitFor();
    await page.getByText('Level of a channel, 256-QAM: at least −6 dBmV').waitFor();
    await picture('limits-chosen');
  });

  test('is called silent when nothing newer than two days has come in', async () => {
    await page.getByRole('link', { name: 'Fleet', exact: true }).click();
    await rowTells(/^Silent .*All 3 points silent since .*; 120 outlets unseen/);
    await picture('fleet-silent');
  });

  test('rises in the ranking when the level falls, with the hop and the size in one sentence', async () => {
    await send(buildingSweeps(CALM_UNTIL_MS, STEP_MS, STEP_MS));
    await send(buildingSweeps(STEP_MS, UNTIL_MS, STEP_MS));
    await rowTells(
      /^Act .*Level fell (2\.9|3|3\.0|3\.1) dB .* between Provider’s tap and Riser amplifier, floor 5/,
    );
    await picture('fleet-step');
  });

  test('shows what was found, then and now across the band, and the figures behind it', async () => {
    await page.locator('.fleet-link', { hasText: 'Mill House' }).click();
    await page.locator('#point-title', { hasText: 'Riser amplifier, floor 5' }).waitFor();
    await page.getByText('Level step').first().waitFor();
    await page.getByText(/Building side/).waitFor();
    await page.getByText('Explained by a change further up').waitFor();
    await page.getByText(/^Then: baseline 1, .* accepted by Ada Field/).waitFor();

    const bands = page.getByRole('img', { name: /across frequency/ });
    expect(await bands.count()).toBe(2);
    expect(await inked(bands.first().locator('canvas'))).toBe(true);

    const row = page.locator('.channel-table tbody tr', { hasText: '702, 703' });
    expect(await row.locator('td').first().textContent()).toBe('78');
    expect(number(await row.locator('td').nth(6).textContent())).toBeCloseTo(-3, 0);
    await page.getByText('outside the plan').first().waitFor();
    await picture('site-step');
  });

  test('counts the outlet outside the limit that was chosen for it', async () => {
    await page.locator('.tree a', { hasText: 'Room 512' }).click();
    await page.getByText('Outside limits now').waitFor();
    await page.getByText('long cords in these rooms').first().waitFor();
    await picture('outlet-outside');
  });

  test('reads on a phone without running out of the screen', async () => {
    for (const address of ['/', page.url()]) {
      await page.goto(new URL(address, installation.origin).href);
      await page.getByText('Mill House').first().waitFor();
      await expectToFitPhone();
    }
    await page.locator('#point-title', { hasText: 'Room 512' }).waitFor();
  });

  test('gets a second version of its channel plan, which is taken back while it is still to come', async () => {
    await page.goto(`${installation.origin}/setup/plans`);
    await page.getByRole('link', { name: 'Northlink basic' }).click();
    await page.getByRole('button', { name: 'Add a version' }).click();
    await page.getByLabel('In force from').fill(localTime(UNTIL_MS + 48 * HOUR_MS));
    await page.getByLabel('Note').fill('RF 77 goes');
    await page.getByRole('button', { name: 'Take RF 77 away' }).click();
    await picture('plan-version-new');
    await page.getByRole('button', { name: 'Add this version' }).click();
    await page.getByText(`${FREQ_MHZ.length - 1} channels: RF 77 goes`).click();
    await picture('plan-versions');
    await page.getByRole('button', { name: 'Take back' }).click();
    await page.getByRole('button', { name: 'Take back' }).click();
    await page.getByText('RF 77 goes').waitFor({ state: 'detached' });
  });

  test('has its contact changed and its key revoked, after which the box is refused', async () => {
    await page.getByRole('link', { name: 'Sites', exact: true }).click();
    await page.getByRole('link', { name: 'Mill House' }).click();
    await page.getByLabel('Contact at the site').fill('front desk');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText('Saved.').waitFor();
    await page.getByRole('button', { name: 'Revoke' }).click();
    await page.getByRole('button', { name: 'Revoke' }).click();
    await page.getByText(/^Revoked/).waitFor();
    await page.reload();
    await page.getByRole('heading', { name: 'Mill House' }).waitFor();
    expect(await page.getByLabel('Contact at the site').inputValue()).toBe('front desk');
    await expect(send(buildingSweeps(UNTIL_MS - HOUR_MS, UNTIL_MS, STEP_MS))).rejects.toThrow('revoked');
    await picture('key-revoked');
  });

  test('is opened to a colleague by an invitation, and to a script by a token', async () => {
    await page.getByRole('link', { name: 'Limit sets' }).click();
    await page.getByRole('heading', { name: 'Choose for the whole fleet' }).waitFor();
    await picture('limit-sets');
    await page.getByRole('link', { name: 'Accounts' }).click();
    await page.getByLabel('E-mail').fill('bo@levelkeep.test');
    await page.getByRole('button', { name: 'Make a link' }).click();
    const link = await page.getByLabel('The invitation’s link').inputValue();
    await page.getByLabel('What will use it').fill('nightly report');
    await page.getByRole('button', { name: 'Issue a token' }).click();
    const token = await page.getByLabel('The token').inputValue();
    await picture('accounts');
    const asked = { headers: { authorization: `Bearer ${token}` } };
    expect(await ok(await fetch(`${installation.origin}/api/fleet`, asked))).toMatchObject({ total: 1 });

    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByRole('heading', { name: 'Sign in' }).waitFor();
    await page.goto(link);
    await page.getByLabel('Your name').fill('Bo Reed');
    await page.getByLabel('Password').fill(PASSWORD);
    await picture('invite');
    await page.getByRole('button', { name: 'Make the account' }).click();
    await page.getByText('Bo Reed, technician').waitFor();
  });

  test('meets no error in the browser on the way', () => {
    expect(complaints).toEqual([]);
  });

  async function addPoint(point: {
    name?: string;
    label: string;
    kind?: string;
    hop?: string;
    every: string;
    outlets?: string;
  }): Promise<void> {
    if (point.name) await page.getByLabel('Name in sweeps').fill(point.name);
    await page.getByLabel('Label').fill(point.label);
    if (point.kind) await page.getByLabel('Kind').selectOption({ label: point.kind });
    if (point.hop) await page.getByLabel('What lies between').fill(point.hop);
    if (point.outlets) await page.getByLabel('Outlets on this point').fill(point.outlets);
    await page.getByLabel('A sweep every, minutes').fill(point.every);
    await picture(`point-${point.name ?? 'handoff'}`);
    await page.getByRole('button', { name: 'Add the point' }).click();
    await page.getByRole('link', { name: `Baseline of ${point.label}` }).waitFor();
  }

  /** From any set-up page to the preview of a point's baseline. */
  async function openBaseline(point: string): Promise<void> {
    if (!(await page.getByRole('link', { name: `Baseline of ${point}` }).isVisible())) {
      await page.getByRole('link', { name: 'Mill House' }).click();
    }
    await page.getByRole('link', { name: `Baseline of ${point}` }).click();
    await page.getByRole('heading', { name: `Baseline of ${point}` }).waitFor();
    await page.getByLabel('From, America/Chicago').fill(localTime(FROM_MS));
    await page.getByLabel('To, America/Chicago').fill(localTime(CALM_UNTIL_MS));
    await page.getByRole('button', { name: 'Preview' }).click();
    await page.getByRole('heading', { name: 'What would be accepted' }).waitFor();
  }

  async function send(sweeps: readonly unknown[]): Promise<IngestAnswer> {
    return ok(
      await fetch(`${installation.origin}/ingest/sweeps`, {
        method: 'POST',
        headers: { authorization: `Bearer ${siteKey}`, 'content-type': 'application/json' },
        body: JSON.stringify({ sweeps }),
      }),
    );
  }

  /** The engine works beside the page, so the page is loaded again until its row tells. */
  async function rowTells(what: RegExp): Promise<void> {
    const row = page.locator('.fleet-row', { hasText: 'Mill House' });
    const told = async () => {
      await page.reload();
      return row.locator('.fleet-why').textContent();
    };
    await expect.poll(told, { timeout: ENGINE_MS, interval: 500 }).toMatch(what);
  }

  async function expectToFitPhone(): Promise<void> {
    await page.setViewportSize(PHONE);
    await page.waitForFunction(() => document.querySelector('.waiting') === null);
    const widthPx = await page.evaluate(() => document.documentElement.scrollWidth);
    expect(widthPx).toBeLessThanOrEqual(PHONE.width);
    await page.setViewportSize(WIDE);
  }

  async function picture(name: string): Promise<void> {
    if (!PICTURES) return;
    for (const [size, viewport] of [
      ['phone', PHONE],
      ['wide', WIDE],
    ] as const) {
      await page.setViewportSize(viewport);
      await page.waitForFunction(() => document.querySelector('.waiting') === null);
      await page.screenshot({ path: path.join(PICTURES, `${name}-${size}.png`), fullPage: true });
    }
  }
});

/** Whether anything but the ground is drawn. */
async function inked(canvas: ReturnType<Page['locator']>): Promise<boolean> {
  return canvas.first().evaluate((element: HTMLCanvasElement) => {
    const { data } = element.getContext('2d')!.getImageData(0, 0, element.width, element.height);
    return data.some((value) => value !== 0);
  });
}

/** What a person in Chicago types into a field of date and time. */
function localTime(ms: number): string {
  return new Date(ms).toLocaleString('sv', { timeZone: 'America/Chicago' }).replace(' ', 'T').slice(0, 16);
}

function number(text: string | null): number {
  return Number(text?.replace('−', '-'));
}
