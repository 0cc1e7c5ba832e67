import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launch, MISSING, openPage } from './fixtures/openPage.ts';

describe.skipIf(MISSING !== null)(MISSING ? `probes (skipped: ${MISSING})` : 'probes', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser.close());

  test('the list says what is wrong first, and narrows to one standing', async () => {
    const { page, complaints } = await openPage(browser, '/probes');
    await page.getByRole('heading', { name: 'Of 5 probes: 1 failing, 1 late.' }).waitFor();
    const lines = page.locator('.probe-line');
    expect(await lines.count()).toBe(5);
    expect(await lines.first().textContent()).toContain(
      '864 times in a row: 192.0.2.14 (UDP port 161) did not answer',
    );
    await page.getByRole('button', { name: 'Paused' }).click();
    await page.waitForURL('**/probes?standing=paused');
    await expect.poll(() => lines.count()).toBe(1);
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test('a reading is asked for by a button, and its answer told in words with what to do', async () => {
    const { page, complaints } = await openPage(browser, '/sites/2/probes/1');
    await page.getByRole('button', { name: 'Read now modem in the riser cupboard' }).click();
    const answer = page.locator('.reading-answer');
    await answer.waitFor();
    expect(await answer.textContent()).toMatch(
      /^No reading: 192\.0\.2\.14 .*What to do: check that the modem is on/,
    );
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test('the form asks for what the SNMP version needs, and no more', async () => {
    const { page, complaints } = await openPage(browser, '/setup/sites/2');
    await page.getByRole('button', { name: 'Add a probe' }).click();
    expect(await page.getByLabel('Authentication password').count()).toBe(1);
    await page.getByLabel('SNMP version').selectOption('2c');
    expect(await page.getByLabel('Authentication password').count()).toBe(0);
    expect(await page.getByLabel('Community').getAttribute('type')).toBe('password');
    await page.getByLabel('Read', { exact: true }).selectOption('cron');
    expect(await page.getByLabel('Cron expression').inputValue()).toBe('0 6 * * *');
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test('the form for a web address asks for the secret and the fields that the answer needs', async () => {
    const { page, complaints } = await openPage(browser, '/setup/sites/2');
    await page.getByRole('button', { name: 'Add a probe' }).click();
    await page.getByLabel('What is read').selectOption('http');
    expect(await page.getByLabel('SNMP version').count()).toBe(0);
    await page.getByLabel('Web address').fill('http://192.0.2.20/sweep.json');
    await page.getByLabel('It asks for').selectOption('headers');
    expect(await page.getByLabel('Header', { exact: true }).inputValue()).toBe('Authorization');
    expect(await page.getByLabel('Its secret value').getAttribute('type')).toBe('password');
    expect(await page.getByText('http sends the secret unencrypted').count()).toBe(1);
    await page.getByLabel('It answers with').selectOption('records');
    await page.getByLabel('Field with the level').waitFor();
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test('the form shows a probe at a web address as it was set up, but for its secret', async () => {
    const { page, complaints } = await openPage(browser, '/setup/sites/2');
    await page.getByRole('button', { name: 'Change meter in the attic' }).click();
    expect(await page.getByLabel('What is read').count()).toBe(0);
    expect(await page.getByLabel('The list stands in').inputValue()).toBe('scan.channels');
    expect(await page.getByLabel('Unit of the level').inputValue()).toBe('dBuV');
    expect(await page.getByLabel('Field with the time').inputValue()).toBe('date, time');
    expect(await page.getByLabel('Its secret value').inputValue()).toBe('');
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test('the guide leads to the probe’s form, with the point chosen, and to the form for typed levels', async () => {
    const { page, complaints } = await openPage(browser, '/setup/new-site/2?step=ways');
    await page.getByRole('link', { name: /^Type its readings/ }).waitFor();
    const toProbe = page.getByRole('link', { name: /^Set up its probe/ }).first();
    const pointId = /probe-at=(\d+)/.exec((await toProbe.getAttribute('href'))!)![1];
    await toProbe.click();
    await page.getByLabel('Point that it measures').waitFor();
    expect(await page.getByLabel('Point that it measures').inputValue()).toBe(pointId);
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Probes');
    expect(complaints).toEqual([]);
    await page.context().close();
  });
});
