import type { SiteProgress } from '../../../../api/schemas/siteProgress.ts';
import { plural } from '../../../format.ts';
import { Link } from '../../../parts/link.tsx';
import { guideAddress, STEP_WORD } from './steps.ts';

/** What the set-up of a site still lacks, each with the way to the step that mends it. */
export function MissingPanel({ progress, open }: { progress: SiteProgress; open: boolean }) {
  const lacking = progress.steps.filter(({ missing }) => missing.length > 0);
  const count = lacking.reduce((sum, { missing }) => sum + missing.length, 0);
  if (count === 0) return <p class="notice">Nothing is missing: the site is set up.</p>;
  return (
    <details class="panel missing" open={open}>
      <summary>
        <strong>Still missing: {plural(count, 'thing')}</strong>
      </summary>
      <ul>
        {lacking.flatMap(({ step, missing }) =>
          missing.map((sentence) => (
            <li key={sentence}>
              {sentence} <Link href={guideAddress(progress.siteId, step)}>{STEP_WORD[step]}</Link>
            </li>
          )),
        )}
      </ul>
    </details>
  );
}
