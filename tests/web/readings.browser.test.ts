import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launch, MISSING, openPage, PHONE } from './fixtures/openPage.ts';

const title = MISSING ? `typed readings (skipped: ${MISSING})` : 'typed readings';
const FORM = '/sites/2/points/6/readings/new';

describe.skipIf(MISSING !== null)(title, () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser.close());

  const row = (page: Page, place: number) => page.locator('.reading').nth(place);
  const level = (page: Page, place: number) => row(page, place).getByLabel(/^Level, /);

  async function openForm(): Promise<Page> {
    const { page } = await openPage(browser, FORM, { viewport: PHONE });
    await row(page, 0).waitFor();
    return page;
  }

  test('have large keys for digits, and one for the sign that such keys lack', async () => {
    const page = await openForm();
    const field = level(page, 0);
    expect(await field.getAttribute('inputmode')).toBe('decimal');
    expect((await field.boundingBox())!.height).toBeGreaterThanOrEqual(48);
    await field.fill('4.5');
    await row(page, 0).getByRole('button', { name: 'Level: plus or minus' }).click();
    expect(await field.inputValue()).toBe('-4.5');
    await page.context().close();
  });

  test('are judged as they are typed', async () => {
    const page = await openForm();
    expect(await page.locator('.verdict-bar').textContent()).toContain('Not yet');
    await level(page, 0).fill('17');
    await page.locator('.verdict-bar').getByText('Changed').waitFor();
    expect(await row(page, 2).textContent()).toContain('look at the digits');
    await page.context().close();
  });

  test('stand there again when the page is loaded again, and the meter at the next point too', async () => {
    const page = await openForm();
    await page.locator('summary').first().click();
    await page.getByLabel('Name of the meter').fill('meter-5');
    await page.getByLabel('dBµV').check();
    await level(page, 1).fill('71.5');
    await page.reload();
    await row(page, 0).waitFor();
    expect(await level(page, 1).inputValue()).toBe('71.5');
    await page.goto(page.url().replace('/points/6/', '/points/5/'));
    await row(page, 0).waitFor();
    expect(await level(page, 1).inputValue()).toBe('');
    expect(await page.locator('summary').first().textContent()).toBe('Meter: meter-5, levels in dBµV');
    await page.context().close();
  });

  test('are kept while the network is gone, and saved when it is back', async () => {
    const page = await openForm();
    let isGone = true;
    await page.route('**/api/sites/**', (route) => (isGone ? route.abort() : route.fallback()));
    await level(page, 0).fill('17.2');
    await page.getByText('What you type is kept on this device').waitFor();
    await page.getByRole('button', { name: 'Save as one sweep' }).click();
    await page.getByText('Nothing is lost. Save again').waitFor();
    isGone = false;
    await page.getByRole('button', { name: 'Save as one sweep' }).click();
    await page.getByRole('heading', { name: 'Saved' }).waitFor();
    expect(await page.locator('.saved').textContent()).toContain('instrument typed: meter-3');
    await page.getByRole('button', { name: 'Type another sweep' }).click();
    expect(await level(page, 0).inputValue()).toBe('');
    await page.context().close();
  });

  test('that are no numbers are named beside their field, and nothing is saved', async () => {
    const page = await openForm();
    await level(page, 0).fill('17 dB');
    expect(await row(page, 0).textContent()).toContain('is no number: type digits');
    expect(await page.getByRole('button', { name: 'Save as one sweep' }).isDisabled()).toBe(true);
    await page.context().close();
  });

  test('can be seen elsewhere with who types them, and whether they are saved', async () => {
    const { page } = await openPage(browser, FORM.replace('/new', '/live'));
    const panels = page.locator('.live');
    await panels.first().waitFor();
    expect(await panels.nth(0).textContent()).toMatch(
      /Sam Reed.*Typing now: last figure 3 s ago.*Not saved yet/,
    );
    expect(await panels.nth(1).textContent()).toMatch(/Rosa Field.*Saved as a sweep at/);
    expect(await panels.nth(0).locator('tbody tr').count()).toBe(6);
    await page.context().close();
  });

  test('are reached from the point, and the form from nowhere else than by who may type', async () => {
    const { page } = await openPage(browser, '/sites/2/points/6');
    await page.getByRole('link', { name: 'Type readings of a meter' }).click();
    await row(page, 0).waitFor();
    expect(new URL(page.url()).pathname).toBe(FORM);
    await page.context().close();
  });
});
