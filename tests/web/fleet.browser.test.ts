import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launch, MISSING, openPage, PHONE, WIDE } from './fixtures/openPage.ts';

const SITES = 2000;
const title = MISSING ? `the fleet page (skipped: ${MISSING})` : 'the fleet page';

describe.skipIf(MISSING !== null)(title, () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser.close());

  const openFleet = async (viewport = WIDE) => {
    const { page } = await openPage(browser, '/', { viewport, sites: SITES });
    await page.locator('.fleet-row a').first().waitFor();
    return page;
  };

  test('says in one sentence what to do today and names the site to start with', async () => {
    const page = await openFleet();
    const heading = await page.locator('h1').textContent();
    const first = await page.locator('[data-index="0"] a').textContent();
    expect(heading).toMatch(/^20 of 2,000 sites need action\. Start with /);
    expect(heading).toContain(first);
    await page.context().close();
  });

  test.each([
    ['wide', WIDE],
    ['on a phone', PHONE],
  ] as const)('scrolls through 2,000 sites with few elements and short scripts, %s', async (_, viewport) => {
    const page = await openFleet(viewport);
    const { longestMs, most } = await scrollThrough(page);
    expect(most).toBeLessThan(60);
    // Rendering must not hold the page: long tasks are those above 50 ms, on any machine that runs this.
    expect(longestMs).toBeLessThan(200);
    expect(await page.locator('.fleet-table').getAttribute('aria-rowcount')).toBe(String(SITES + 1));
    await page.locator(`[aria-rowindex="${SITES + 1}"] a`).waitFor();
    await page.context().close();
  });

  test('is walked by keyboard: search with /, rows with arrows and j k, Enter opens', async () => {
    const page = await openFleet();
    await page.keyboard.press('/');
    await page.keyboard.type('port sable');
    await page.waitForURL(/search=port\+sable/);
    // Rows of the search before stay until those found are there.
    await page.waitForFunction(() =>
      [...document.querySelectorAll('.fleet-row')].every((row) => row.textContent?.includes('Port Sable')),
    );
    await page.locator('[data-index="0"] a').focus();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('j');
    await page.keyboard.press('k');
    const chosen = await page.evaluate(() =>
      document.activeElement?.closest('[data-index]')?.getAttribute('data-index'),
    );
    expect(chosen).toBe('1');
    await page.keyboard.press('Enter');
    await page.waitForURL(/\/sites\/\d+$/);
    await page.locator('.site-header').waitFor();
    await page.context().close();
  });

  test('shows the sites of one verdict and says how many there are', async () => {
    const page = await openFleet();
    await page.getByRole('button', { name: /^Silent/ }).click();
    await page.waitForURL(/verdict=silent/);
    await page.waitForFunction(() => document.querySelector('.fleet-row')?.classList.contains('is-silent'));
    const count = Number(
      await page
        .getByRole('button', { name: /^Silent/ })
        .locator('.count')
        .textContent(),
    );
    expect(await page.locator('.fleet-table').getAttribute('aria-rowcount')).toBe(String(count + 1));
    expect(await page.locator('.fleet-row:not(.is-silent)').count()).toBe(0);
    await page.context().close();
  });

  test('prints the ranked list without its controls', async () => {
    const page = await openFleet();
    await page.emulateMedia({ media: 'print' });
    await page.locator('[data-index="50"]').waitFor({ state: 'attached' });
    expect(await page.locator('button:visible, input:visible, .top:visible').count()).toBe(0);
    expect(await page.locator('h1').isVisible()).toBe(true);
    await page.context().close();
  });
});

/** From top to bottom a screen at a time: the longest script task, ms, and the most rows there at once. */
async function scrollThrough(page: Page): Promise<{ longestMs: number; most: number }> {
  return page.evaluate(async () => {
    let longestMs = 0;
    let most = 0;
    const observer = new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) longestMs = Math.max(longestMs, entry.duration);
    });
    observer.observe({ type: 'longtask' });
    const step = document.documentElement.scrollHeight / 60;
    for (let i = 1; i <= 60; i++) {
      scrollTo(0, i * step);
      await new Promise((done) => requestAnimationFrame(() => setTimeout(done, 16)));
      most = Math.max(most, document.querySelectorAll('.fleet-row').length);
    }
    observer.disconnect();
    return { longestMs, most };
  });
}
