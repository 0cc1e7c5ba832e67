import { SCENARIOS } from '../scenarios/index.ts';
import { DEMO_EMAIL } from './administrator.ts';
import type { SetUpSite } from './setUpFleet.ts';

const WORTH_A_LOOK = ['feedDownFourDb', 'tiredOutputStage', 'floodedDuct'] as const;

/** What a person needs once the fleet is on screen: where, as whom, and three things to look at. */
export function tell(
  origin: string,
  password: string,
  sites: readonly SetUpSite[],
  truthFile: string,
): string {
  const looks = WORTH_A_LOOK.map((wanted, index) => {
    const { story, sites: names } = SCENARIOS.find(({ name }) => name === wanted)!;
    const { siteId } = sites.find(({ site }) => site.name === names[0])!;
    return `  ${index + 1}. ${names[0]}: ${story}\n     ${origin}/sites/${siteId}`;
  });

  return [
    '',
    `The ranked fleet is at  ${origin}`,
    `Sign in as              ${DEMO_EMAIL}`,
    `with the password       ${password}`,
    '',
    'Three things to look at:',
    ...looks,
    '',
    `Every planted fault, with its dates and sizes, is written down in ${truthFile}`,
    'A sweep of every point goes on coming in each minute. Ctrl+C stops it; the next start takes up from there.',
  ].join('\n');
}
