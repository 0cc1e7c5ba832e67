import type { SiteProgress } from '../../../../api/schemas/siteProgress.ts';
import type { SetupStep } from '../../../../api/setup/stepNames.ts';
import { Link } from '../../../parts/link.tsx';
import { guideAddress, STEP_WORD } from './steps.ts';

/** The way through the set-up: every step with whether it is done. */
export function StepList({ progress, current }: { progress: SiteProgress; current: SetupStep }) {
  return (
    <nav aria-label="Steps">
      <ol class="steps">
        {progress.steps.map(({ step, done }, i) => (
          <li key={step}>
            <Link href={guideAddress(progress.siteId, step)} current={step === current}>
              <span class="step-mark" aria-hidden="true">
                {done ? '✓' : i + 1}
              </span>
              <span class="step-word">
                {STEP_WORD[step]}
                <span class="sr-only">, {done ? 'done' : 'open'}</span>
              </span>
            </Link>
          </li>
        ))}
      </ol>
    </nav>
  );
}
