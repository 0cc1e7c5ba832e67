import type { SiteProgress } from '../../../../api/schemas/siteProgress.ts';
import type { SiteSetupView as Setup } from '../../../../api/schemas/siteSetup.ts';
import type { SetupStep } from '../../../../api/setup/stepNames.ts';
import { patch } from '../../../client.ts';
import { paths } from '../../../paths.ts';
import { PointsEditor } from '../sites/pointsEditor.tsx';
import { siteDraft } from '../sites/siteDraft.ts';
import { SiteForm } from '../sites/siteForm.tsx';
import { SiteKeys } from '../sites/siteKeys.tsx';
import { AgentPanel } from './agentPanel.tsx';
import { BaselineStep } from './baselineStep.tsx';
import { FeedStep } from './feedStep.tsx';
import { ReadingsStep } from './readingsStep.tsx';
import { ShapePanel } from './shapePanel.tsx';
import { TurnoverStep } from './turnoverStep.tsx';
import { WaysStep } from './waysStep.tsx';

export interface StepProps {
  readonly setup: Setup;
  readonly progress: SiteProgress;
  readonly onChanged: () => void;
}

/** What a person does in one step. */
export function StepBody({ step, ...props }: StepProps & { step: SetupStep }) {
  const { setup, onChanged } = props;
  const { siteId, timeZone } = setup.site;
  switch (step) {
    case 'site':
      return (
        <section class="panel">
          <SiteForm
            initial={siteDraft(setup.site)}
            does="Save"
            feed={false}
            onSend={async ({ providerId: _, planId: __, ...site }) => {
              await patch(paths.site(siteId), site);
              onChanged();
            }}
          />
        </section>
      );
    case 'plan':
      return <FeedStep {...props} />;
    case 'points':
      return (
        <>
          {setup.points.length === 0 && <ShapePanel siteId={siteId} onChanged={onChanged} />}
          <PointsEditor siteId={siteId} points={setup.points} onChanged={onChanged} />
        </>
      );
    case 'ways':
      return <WaysStep {...props} />;
    case 'key':
      return (
        <>
          <SiteKeys siteId={siteId} timeZone={timeZone} onChanged={onChanged} />
          <AgentPanel siteId={siteId} />
        </>
      );
    case 'readings':
      return <ReadingsStep {...props} />;
    case 'baseline':
      return <BaselineStep {...props} />;
    case 'turnover':
      return <TurnoverStep {...props} />;
  }
}
