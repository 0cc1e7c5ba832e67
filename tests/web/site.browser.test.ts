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

  test('tells why the leading finding may have come about, on a phone and on paper', async () => {
    const { page } = await openPage(browser, '/sites/2', { viewport: PHONE });
    const causes = page.locator('.causes');
    await causes.waitFor();
    expect(await causes.count()).toBe(1);
    expect(await causes.locator('h3').textContent()).toMatch(/^Probable cause: Water in the cable.* \d+ %$/);
    expect(await causes.locator('dt').allTextContents()).toEqual([
      'Speaks for it',
      'Check first',
      'Bring',
      'Take care',
      'Or else',
    ]);
    expect(await causes.textContent()).toContain('62 m series 11 through the hot ceiling');
    expect(await causes.getByText(/60 or 90 V/).isVisible()).toBe(true);
    expect(await causes.locator('dd').last().locator('li').allTextContents()).toContainEqual(
      expect.stringMatching(/^Something else, \d+ %$/),
    );
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(PHONE.width);
    await page.emulateMedia({ media: 'print' });
    expect(await causes.getByText(/60 or 90 V/).isVisible()).toBe(true);
    await page.context().close();
  });

  test('brings verdict, what to check and the tree within about two screens of a phone', async () => {
    const { page } = await openPage(browser, '/sites/2', { viewport: PHONE });
    await page.locator('.tree').waitFor();
    const bottoms = await page.evaluate(() =>
      ['.lead', '.check-first', '.tree'].map(
        (part) => document.querySelector(part)!.getBoundingClientRect().bottom,
      ),
    );
    expect(bottoms).toEqual([...bottoms].sort((a, b) => a - b));
    expect(bottoms[1]).toBeLessThan(PHONE.height);
    // A tree of eight points, one of them out of calibration, below an alert and two maintenance windows.
    expect(bottoms[2]).toBeLessThan(2.15 * PHONE.height);
    await page.context().close();
  });

  test('scrolls the channels inside their box on a phone, says so, and keeps the channel in sight', async () => {
    const { page } = await openPage(browser, '/sites/2', { viewport: PHONE });
    const table = page.locator('.channel-table');
    await table.waitFor();
    expect(await page.getByText('scroll the table sideways').isVisible()).toBe(true);
    expect(await table.evaluate((box) => box.scrollWidth > box.clientWidth)).toBe(true);
    await table.evaluate((box) => box.scrollTo(box.scrollWidth, 0));
    const left = (selector: string) =>
      table.locator(selector).evaluate((cell) => cell.getBoundingClientRect().left);
    const boxLeft = await table.evaluate((box) => box.getBoundingClientRect().left);
    expect(await left('tbody tr:first-child td:first-child')).toBe(boxLeft);
    expect(await left('tbody tr:first-child td:last-child')).toBeLessThan(PHONE.width);
    await page.context().close();
  });

  test.each(['light', 'dark'] as const)(
    'prints charts as wide as the paper, dark on white, from %s',
    async (colorScheme) => {
      const { page } = await openPage(browser, '/sites/2', { colorScheme });
      await page.locator('.channel-table').waitFor();
      await page.locator('canvas').nth(5).waitFor();
      await page.emulateMedia({ media: 'print', colorScheme });
      await page.setViewportSize({ width: 718, height: 1000 });
      const printed = await page.evaluate(() => ({
        controls: [...document.querySelectorAll('button, input, .top, .readout')]
          .filter((element) => !element.matches('th button') && element.getClientRects().length > 0)
          .map((element) => element.textContent),
        canvases: [...document.querySelectorAll('canvas')].map(({ width }) => width),
        shown: [...document.querySelectorAll('canvas')].map((canvas) => canvas.getBoundingClientRect().right),
        ink: getComputedStyle(document.documentElement).getPropertyValue('--trace'),
        cautions: document.querySelector('.cautions li')!.checkVisibility({ contentVisibilityAuto: true }),
      }));
      expect(printed.controls).toEqual([]);
      expect(new Set(printed.canvases)).toEqual(new Set([680]));
      expect(Math.max(...printed.shown)).toBeLessThanOrEqual(718);
      expect(printed.ink.trim()).toBe('#222');
      expect(printed.cautions).toBe(true);
      await page.context().close();
    },
  );

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
    await page.keyboard.press('ArrowLeft');
    await expect
      .poll(() => band.getAttribute('aria-valuetext'))
      .toMatch(/^RF 132 · no longer in the plan since 13 Jan 2026 · 837 MHz .*then 14.1 dBmV$/);
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
