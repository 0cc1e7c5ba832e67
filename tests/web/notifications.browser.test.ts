import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launch, MISSING, openPage, PHONE } from './fixtures/openPage.ts';

const title = MISSING ? `the notifications page (skipped: ${MISSING})` : 'the notifications page';

describe.skipIf(MISSING !== null)(title, () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser.close());

  test('writes the sentence of a rule as it is made, and shows what it would have sent', async () => {
    const { page, complaints } = await openPage(browser, '/setup/notifications', { viewport: PHONE });
    await page.getByRole('button', { name: 'Add a rule' }).click();
    await page.getByLabel('Severity').selectOption('critical');
    await page.getByLabel('Only with less than so many days left').fill('14');
    await page.getByRole('button', { name: 'Add who is told next' }).click();
    await page.getByRole('group', { name: 'tell next' }).getByLabel('Night desk (e-mail)').check();
    expect(await page.locator('.rule-sentence').textContent()).toBe(
      'Tell Rosa Field (e-mail) about critical alerts at any site with less than 14 days left, as soon as they are raised. If ' +
        'nobody has acknowledged 30 min later, tell Night desk (e-mail). Also tell when it gets worse and when it has returned ' +
        'to normal. In somebody’s quiet hours it waits for their morning.',
    );
    await page.getByText('7 messages').waitFor();
    await page.locator('.preview').getByText('after quiet hours').waitFor();
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(PHONE.width);
    expect(complaints).toEqual([]);
  });

  test('says that e-mail is not set up, and which messages were given up', async () => {
    const { page } = await openPage(browser, '/setup/notifications');
    await page.getByText('E-mail is not set up on this server.').waitFor();
    await page.getByText('1 message was given up.').waitFor();
    await page.getByRole('button', { name: 'Send again' }).click();
    await page.getByText('Taken by the other side').waitFor();
  });
});
