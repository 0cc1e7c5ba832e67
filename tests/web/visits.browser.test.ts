import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launch, MISSING, openPage, PHONE } from './fixtures/openPage.ts';

const title = MISSING ? `visits and complaints (skipped: ${MISSING})` : 'visits and complaints';

describe.skipIf(MISSING !== null)(title, () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser.close());
  const open = (address: string) =>
    openPage(browser, address, { viewport: PHONE, timezoneId: 'America/Chicago' });

  test('a new normal leads to the baseline page with the window after the work filled in', async () => {
    const { page, complaints } = await open('/visits');
    await page.getByRole('link', { name: 'Look at the new baseline' }).click();
    await page.getByRole('heading', { name: /^Baseline of/ }).waitFor();
    const [from, to] = [page.getByLabel(/^From/), page.getByLabel(/^To/)];
    expect(await from.inputValue()).toBe('2026-03-06T20:10');
    expect(await to.inputValue()).toBe('2026-03-09T08:10');
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test('a complaint takes a few letters, Enter, one choice and a press', async () => {
    const { page, complaints } = await open('/complaints');
    await page.getByLabel('Building').fill('cor');
    await page
      .getByRole('button', { name: /^Corran/ })
      .first()
      .waitFor();
    await page.getByLabel('Building').press('Enter');
    const logIt = page.getByRole('button', { name: 'Log it' });
    expect(await logIt.isDisabled()).toBe(true);
    await page.getByLabel('A channel is missing').check();
    await logIt.click();
    await page.getByText(/^Logged for Corran/).waitFor();
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test('a stop is left out of a proposed day, and the day is kept', async () => {
    const { page, complaints } = await open('/visits');
    await page.getByRole('button', { name: 'Propose a day' }).click();
    await page.getByRole('button', { name: 'Leave out Elmstead Gardens' }).click();
    await page.getByRole('button', { name: 'Keep this day' }).click();
    await page.getByRole('heading', { name: /^Visits on 9 Mar 2026/ }).waitFor();
    expect(new URL(page.url()).pathname).toBe('/visits/1');
    expect(complaints).toEqual([]);
    await page.context().close();
  });
});
