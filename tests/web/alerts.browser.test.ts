import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launch, MISSING, openPage } from './fixtures/openPage.ts';

const title = MISSING ? `the alerts page (skipped: ${MISSING})` : 'the alerts page';

describe.skipIf(MISSING !== null)(title, () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser.close());

  const openAlerts = async (address = '/alerts') => {
    const { page } = await openPage(browser, address);
    await page.locator('.alert-link').first().waitFor();
    return page;
  };

  test('is reached from the top bar, which counts what nobody has acknowledged', async () => {
    const { page } = await openPage(browser, '/');
    const link = page.getByRole('link', { name: 'Alerts 4 unacknowledged' });
    await link.click();
    await page.waitForURL(/\/alerts$/);
    expect(await page.locator('h1').textContent()).toBe('Alerts');
    await page.context().close();
  });

  test('is walked by keyboard: j and k move, x chooses, Enter opens', async () => {
    const page = await openAlerts();
    await page.locator('.alert-link').first().focus();
    await page.keyboard.press('j');
    await page.keyboard.press('x');
    await page.keyboard.press('j');
    await page.keyboard.press('x');
    expect(await page.locator('.alerts-chosen').textContent()).toContain('2 alerts chosen');
    await page.keyboard.press('k');
    await page.keyboard.press('Enter');
    await page.waitForURL(/\/alerts\/\d+$/);
    await page.context().close();
  });

  test('acknowledges several at once with a note', async () => {
    const page = await openAlerts();
    await page.locator('.alert-choose input').nth(0).check();
    await page.locator('.alert-choose input').nth(1).check();
    await page.getByRole('button', { name: 'Acknowledge' }).click();
    await page.getByLabel('Note, if there is one').fill('crew is out');
    const sent = page.waitForRequest((request) => request.url().endsWith('/api/alerts/acknowledge'));
    await page.locator('.alert-form button[type=submit]').click();
    expect((await sent).postDataJSON()).toEqual({ alertIds: [1, 7], why: 'crew is out' });
    await page.locator('.alerts-chosen').waitFor({ state: 'detached' });
    await page.context().close();
  });

  test('shelves with an end and a reason', async () => {
    const page = await openAlerts();
    await page.locator('.alert-choose input').first().check();
    await page.getByRole('button', { name: 'Shelve' }).click();
    await page.getByLabel('For').selectOption('672');
    await page.getByLabel('Reason').fill('riser is being renewed');
    const sent = page.waitForRequest((request) => request.url().endsWith('/api/alerts/shelve'));
    await page.locator('.alert-form button[type=submit]').click();
    const body = (await sent).postDataJSON() as { until: string; why: string };
    expect(body.why).toBe('riser is being renewed');
    expect(Date.parse(body.until) - Date.parse('2026-03-09T14:10:00Z')).toBe(28 * 86_400_000);
    await page.context().close();
  });

  test('offers what the state of an alert allows and nothing else', async () => {
    const page = await openAlerts('/alerts?state=shelved');
    await page.locator('.alert-choose input').first().check();
    const offered = await page.locator('.alert-actions button').allTextContents();
    expect(offered).toEqual(['Take off the shelf', 'Add a note', 'Take out of service']);
    await page.context().close();
  });

  test('keeps its filters in the address', async () => {
    const page = await openAlerts();
    await page.getByLabel('Severity').selectOption('critical');
    await page.waitForURL(/severity=critical/);
    await page.waitForFunction(() => document.querySelectorAll('.alert-link').length === 1);
    await page.context().close();
  });
});
