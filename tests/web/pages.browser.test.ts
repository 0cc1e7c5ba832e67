import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launch, MISSING, openPage, PHONE, WIDE } from './fixtures/openPage.ts';

const PAGES = [
  ['the fleet page', '/'],
  ['a site that needs action', '/sites/2'],
  ['a steady site', '/sites/30'],
  ['a site without a baseline', '/sites/4'],
  ['one point', '/sites/2/points/6'],
  ['the alerts', '/alerts'],
  ['alerts that are shelved', '/alerts?state=shelved'],
  ['alerts that none matches', '/alerts?state=normal'],
  ['an alert at a site', '/alerts/1'],
  ['an alert for silence', '/alerts/4'],
  ['an event of a provider', '/alerts/7'],
  ['the fleet of probes', '/probes'],
  ['one probe', '/sites/2/probes/1'],
  ['the form for typed readings', '/sites/2/points/6/readings/new'],
  ['readings as they are typed', '/sites/2/points/6/readings/live'],
  ['the list of sites', '/setup'],
  ['a new site', '/setup/new-site'],
  ['bringing in many sites', '/setup/import'],
  ['the way through a set-up', '/setup/new-site/2'],
  ['the step of building', '/setup/new-site/2?step=site'],
  ['the step of provider and plan', '/setup/new-site/2?step=plan'],
  ['the step of points', '/setup/new-site/2?step=points'],
  ['the step of how readings come', '/setup/new-site/2?step=ways'],
  ['the step of key and agent', '/setup/new-site/2?step=key'],
  ['the step of first readings', '/setup/new-site/2?step=readings'],
  ['the step of baselines', '/setup/new-site/2?step=baseline'],
  ['the step of turnover', '/setup/new-site/2?step=turnover'],
  ['the set-up of a site', '/setup/sites/2'],
  ['baseline acceptance', '/setup/sites/2/points/4/baseline'],
  ['the list of plans', '/setup/plans'],
  ['a plan', '/setup/plans/1'],
  ['a new plan', '/setup/plans/new'],
  ['limit sets', '/setup/limits'],
  ['providers', '/setup/providers'],
  ['notifications', '/setup/notifications'],
  ['maintenance windows', '/setup/maintenance'],
  ['accounts', '/setup/accounts'],
  ['complaints', '/complaints'],
  ['figures on complaints', '/complaints/figures'],
  ['visits', '/visits'],
  ['a day of visits', '/visits/1'],
  ['the audit', '/setup/audit'],
  ['signing in', '/sign-in'],
  ['the set-up link', '/welcome#made-up-token'],
  ['no such page', '/nowhere'],
] as const;

const LOOKS = [
  { viewport: WIDE, colorScheme: 'light' },
  { viewport: PHONE, colorScheme: 'dark' },
] as const;

const title = MISSING ? `every page (skipped: ${MISSING})` : 'every page';

describe.skipIf(MISSING !== null)(title, () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser.close());

  test.each(PAGES)(
    '%s has no serious accessibility fault in wide light or narrow dark',
    async (_, address) => {
      for (const look of LOOKS) {
        const { page, complaints } = await openPage(browser, address, look);
        await settled(page);
        expect(await seriousFaults(page)).toEqual([]);
        expect(complaints).toEqual([]);
        if (look.viewport === PHONE) await checkNarrow(page);
        await page.context().close();
      }
    },
  );
});

/** On a phone: nothing runs out of the screen, and every target can be hit. */
async function checkNarrow(page: Page): Promise<void> {
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(PHONE.width);
  const small = await page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('button, select, input, summary, .button')]
      .map((element) => ({ text: element.textContent || element.id, box: element.getBoundingClientRect() }))
      .filter(({ box }) => box.width > 0 && (box.height < 24 || box.width < 18))
      .map(({ text }) => text),
  );
  expect(small).toEqual([]);
}

/** The page has drawn what it loads first. */
async function settled(page: Page): Promise<void> {
  await page.locator('h1').first().waitFor();
  await page.waitForLoadState('networkidle');
  await page.waitForFunction(() => document.querySelector('.waiting') === null);
}

async function seriousFaults(page: Page): Promise<string[]> {
  await page.evaluate(axe.source);
  const results = await page.evaluate(() =>
    (globalThis as unknown as { axe: typeof axe }).axe.run(document, {
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'],
    }),
  );
  return results.violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .flatMap(({ id, nodes }) =>
      nodes.map((node) => `${id}: ${node.html.slice(0, 120)} ${node.failureSummary ?? ''}`),
    );
}
