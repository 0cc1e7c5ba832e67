import { useEffect, useRef } from 'preact/hooks';
import type { SiteProgress } from '../../../../api/schemas/siteProgress.ts';
import type { SiteSetupView as Setup } from '../../../../api/schemas/siteSetup.ts';
import { SETUP_STEPS, type SetupStep } from '../../../../api/setup/stepNames.ts';
import { post } from '../../../client.ts';
import { Link } from '../../../parts/link.tsx';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { navigate, useAddress } from '../../../router.ts';
import { useMay } from '../../../session.ts';
import { useLoad } from '../../../useLoad.ts';
import { useMedia } from '../../../useMedia.ts';
import { ownZone } from '../../../zonedTime.ts';
import { SetupMain } from '../setupMain.tsx';
import { emptySite } from '../sites/siteDraft.ts';
import { SiteForm } from '../sites/siteForm.tsx';
import { MissingPanel } from './missingPanel.tsx';
import { StepBody } from './stepBody.tsx';
import { StepList } from './stepList.tsx';
import { guideAddress, nextStep, STEP_WORD } from './steps.ts';

const EVERY_MS = 5_000;

/** From a building to its first accepted baselines. All that is decided lies in the database, so it can be left at any time. */
export function GuideView({ siteId }: { siteId: number | null }) {
  return siteId === null ? <NewSite /> : <SiteGuide siteId={siteId} />;
}

function NewSite() {
  return (
    <SetupMain
      title="Set up a site"
      lead="Eight steps from the building to its first accepted baselines. Each is kept as soon as it is sent: go away and come back as you like."
    >
      <section class="panel" aria-labelledby="step-title">
        <h2 id="step-title">1. {STEP_WORD.site}</h2>
        <SiteForm
          initial={emptySite(ownZone())}
          does="Make the site"
          feed={false}
          onSend={async (site) => {
            const made = await post<Setup>(paths.sites, site);
            navigate(guideAddress(made.site.siteId));
          }}
        />
      </section>
      <p>
        Many sites at once? <Link href="/setup/import">Bring them in from a spreadsheet.</Link>
      </p>
    </SetupMain>
  );
}

function SiteGuide({ siteId }: { siteId: number }) {
  const setup = useLoad<Setup>(paths.siteSetup(siteId));
  const progress = useLoad<SiteProgress>(paths.siteProgress(siteId), EVERY_MS);
  const mayChange = useMay('technician');
  const wide = useMedia('(min-width: 901px)');
  const asked = useAddress().searchParams.get('step');
  const failure = setup.error ?? progress.error;
  // Where to go on is decided once a visit: a step must not run away while it is being worked on.
  const start = useRef<SetupStep | null>(null);
  if (progress.data && start.current === null) start.current = nextStep(progress.data);
  const step = SETUP_STEPS.find((name) => name === asked) ?? start.current;
  useStepFocus(asked);

  if (!setup.data || !progress.data || step === null) {
    return (
      <SetupMain title={`Set up site ${siteId}`}>
        {failure ? <Failure error={failure} onRetry={setup.reload} /> : <Waiting what="the set-up" />}
      </SetupMain>
    );
  }
  const changed = () => {
    setup.reload();
    progress.reload();
  };
  const place = SETUP_STEPS.indexOf(step);
  const following = SETUP_STEPS[place + 1];
  const advice = progress.data.steps[place]!.advice;
  return (
    <SetupMain title={setup.data.site.name}>
      {failure && <Failure error={failure} onRetry={changed} />}
      {!mayChange && <p class="notice">You can look; changes need the role technician or manager.</p>}
      <StepList progress={progress.data} current={step} />
      <MissingPanel progress={progress.data} open={wide} />
      <div class="step" id="step">
        <h2 id="step-title" tabIndex={-1}>
          {place + 1}. {STEP_WORD[step]}
        </h2>
        {advice.length > 0 && (
          <ul class="quiet step-advice">
            {advice.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        )}
        <StepBody step={step} setup={setup.data} progress={progress.data} onChanged={changed} />
      </div>
      {following !== undefined && (
        <p class="step-next">
          <Link href={guideAddress(siteId, following)} class="button">
            Next: {STEP_WORD[following]}
          </Link>
        </p>
      )}
    </SetupMain>
  );
}

/** On another step its heading takes the focus, so that a reader begins there. */
function useStepFocus(asked: string | null): void {
  const before = useRef(asked);
  useEffect(() => {
    if (before.current === asked) return;
    before.current = asked;
    const heading = document.querySelector<HTMLElement>('#step-title');
    heading?.focus({ preventScroll: true });
    heading?.scrollIntoView({ block: 'start' });
  }, [asked]);
}
