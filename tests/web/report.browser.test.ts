import { readFile } from 'node:fs/promises';
import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { reportDocument } from '../../api/reports/document/reportDocument.ts';
import { reportPage } from '../../api/reports/render/page.ts';
import { launch, MISSING, ORIGIN, PHONE, POLICY, WIDE } from './fixtures/openPage.ts';
import { makeReport } from './fixtures/report.ts';

const PUBLIC = new URL('../../web/public/', import.meta.url);
const ADDRESS = '/sites/2/report';
const tools = {
  siteHref: '/sites/2',
  siteName: 'Alder Court',
  kinds: [{ text: 'Signal at the handoff', href: ADDRESS, current: true }],
  spans: [{ text: '30 days', href: ADDRESS, current: true }],
  files: [{ text: 'PDF, A4', href: '/api/sites/2/report.pdf' }],
  check: { kind: 'handoff', from: '', to: '', printed: 'abc', matches: false },
  form: { kind: 'handoff', fromDay: '2026-10-27', toDay: '2026-11-26' },
};

describe.skipIf(MISSING !== null)(`a report page${MISSING ? ` (skipped: ${MISSING})` : ''}`, () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser.close());

  async function open(viewport: {
    width: number;
    height: number;
  }): Promise<{ page: Page; complaints: string[] }> {
    const page = await (await browser.newContext({ viewport })).newPage();
    const complaints: string[] = [];
    page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()));
    await page.route('**/*', async (route) => {
      const { pathname } = new URL(route.request().url());
      if (pathname === ADDRESS) {
        const body = String(await reportPage(reportDocument(makeReport()), tools));
        return route.fulfill({
          body,
          contentType: 'text/html',
          headers: { 'content-security-policy': POLICY },
        });
      }
      const contentType = pathname.endsWith('.css') ? 'text/css' : 'image/svg+xml';
      return route.fulfill({ body: await readFile(new URL(`.${pathname}`, PUBLIC)), contentType });
    });
    await page.goto(ORIGIN + ADDRESS);
    return { page, complaints };
  }

  test.each([
    ['wide', WIDE],
    ['narrow', PHONE],
  ])('has no serious accessibility fault and stays within a %s screen', async (_, viewport) => {
    const { page, complaints } = await open(viewport);
    await page.evaluate(axe.source);
    const results = await page.evaluate(() =>
      (globalThis as unknown as { axe: typeof axe }).axe.run(document, {
        runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'],
      }),
    );
    const serious = results.violations.filter(({ impact }) => impact === 'serious' || impact === 'critical');
    expect(
      serious.flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html.slice(0, 120)}`)),
    ).toEqual([]);
    expect(complaints).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
      viewport.width,
    );
    await page.context().close();
  });

  test('draws a mark for every channel, and on paper leaves out what is for the screen', async () => {
    const { page } = await open(WIDE);
    const channels = makeReport().readings[0]!.channels.length;
    expect(await page.locator('svg').first().locator('circle').count()).toBeGreaterThan(2 * channels);
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('.tools').isVisible()).toBe(false);
    expect(await page.locator('h1').isVisible()).toBe(true);
    await page.context().close();
  });
});
