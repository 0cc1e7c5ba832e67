import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launch, MISSING, openPage, PHONE } from './fixtures/openPage.ts';

const title = MISSING ? `the site page (skipped: ${MISSING})` : 'the site page';

describe.skipIf(MISSING !== null)(title, () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser.close());

  test('tells a technician on a phone which hop to check and what may be dangerous there', async () => {
    const { page } = await openPage(browser, '/sites/2', { viewport: PHONE });
    const check = page.locator('.check-first');
    expect(await check.textContent()).toContain(
      'between Distribution gear, output and Riser amplifier, floor 5',
    );
    expect(await check.getByText(/60 or 90 V/).isVisible()).toBe(false);
    await check.locator('summary').click();
    expect(await check.getByText(/60 or 90 V/).isVisible()).toBe(true);
    await page.context().close();
  });

  test('opens by itself the point where the change begins, and another when it is chosen', async () => {
    const { page } = await openPage(browser, '/sites/2');
    await page.locator('#point-title', { hasText: 'Riser amplifier, floor 5' }).waitFor();
    await page.locator('.tree a', { hasText: 'Outlet, room 512' }).click();
    await page.waitForURL(/\/sites\/2\/points\/6$/);
    await page.locator('#point-title', { hasText: 'Outlet, room 512' }).waitFor();
    await page.goBack();
    await page.locator('#point-title', { hasText: 'Riser amplifier, floor 5' }).waitFor();
    await page.context().close();
  });

  test('reads out one channel after another as the arrow keys walk the band', async () => {
    const { page } = await openPage(browser, '/sites/2');
    const band = page.getByRole('slider', { name: 'Channel under the cursor' });
    await band.focus();
    await page.keyboard.press('ArrowRight');
    await expect
      .poll(() => band.getAttribute('aria-valuetext'))
      .toMatch(/^RF 2 · 57 MHz · Analogue · viewers’ 100 · then/);
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => band.getAttribute('aria-valuetext')).toMatch(/^RF 3 · 63 MHz/);
    await page.keyboard.press('End');
    await expect.poll(() => band.getAttribute('aria-valuetext')).toMatch(/^Outside the plan · 861 MHz/);
    await page.context().close();
  });

  test('sorts the channels by what changed most', async () => {
    const { page } = await openPage(browser, '/sites/2');
    await page.getByRole('button', { name: /^Change, dB/ }).click();
    const cells = await page.locator('.channel-table tbody tr td:nth-child(7)').allInnerTexts();
    const changes = cells.filter((cell) => cell !== '–').map((cell) => Number(cell.replace('−', '-')));
    expect(changes.length).toBe(127);
    expect(changes).toEqual([...changes].sort((a, b) => a - b));
    await page.context().close();
  });

  test('shows an issued site key once, and not again after Done', async () => {
    const { page } = await openPage(browser, '/setup/sites/2');
    await page.getByLabel('What will hold the key').fill('box in the basement');
    await page.getByRole('button', { name: 'Issue a key' }).click();
    const secret = page.getByLabel('The site key');
    expect(await secret.inputValue()).toBe('lks_made-up-secret');
    await page.getByRole('button', { name: 'Done' }).click();
    expect(await secret.count()).toBe(0);
    await page.context().close();
  });

  test('asks for a reason before a baseline outside its limits is accepted', async () => {
    const { page } = await openPage(browser, '/setup/sites/2/points/4/baseline');
    await page.getByRole('button', { name: 'Preview' }).click();
    await page.getByText('Outside limits in this window (1)').waitFor();
    const why = page.getByLabel('Why is it accepted although something lies outside its limits?');
    expect(await why.getAttribute('required')).not.toBeNull();
    await page.context().close();
  });
});
