import { useState } from 'preact/hooks';
import type { PlanView as Plan } from '../../../../api/schemas/plans.ts';
import { del, patch, post } from '../../../client.ts';
import { formatMhz, formatMoment, plural } from '../../../format.ts';
import { ConfirmButton } from '../../../parts/confirmButton.tsx';
import { TextField } from '../../../parts/field.tsx';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { ScrollRegion } from '../../../parts/scrollRegion.tsx';
import { paths } from '../../../paths.ts';
import { navigate } from '../../../router.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { MODULATION_WORD } from '../../../words.ts';
import { ownZone } from '../../../zonedTime.ts';
import { SetupMain } from '../setupMain.tsx';
import { formatServices } from './planDraft.ts';
import { PlanForm } from './planForm.tsx';

export function PlanView({ planId }: { planId: number | null }) {
  return planId === null ? <NewPlan /> : <ExistingPlan planId={planId} />;
}

function NewPlan() {
  return (
    <SetupMain title="Make a channel plan">
      <section class="panel">
        <PlanForm
          plan={null}
          onSend={async (version, { name, raster }) => {
            const made = await post<Plan>(paths.plans, { ...version, name, raster });
            navigate(`/setup/plans/${made.planId}`);
          }}
        />
      </section>
    </SetupMain>
  );
}

function ExistingPlan({ planId }: { planId: number }) {
  const { data: plan, error, reload } = useLoad<Plan>(paths.plan(planId));
  const [adding, setAdding] = useState(false);
  const [renaming, setRenaming] = useState(false);
  const withdrawal = useSubmit();
  if (!plan) {
    return (
      <SetupMain title={`Channel plan ${planId}`}>
        {error ? <Failure error={error} onRetry={reload} /> : <Waiting what="the plan" />}
      </SetupMain>
    );
  }
  return (
    <SetupMain title={plan.name} lead={`${plan.raster} raster, used by ${plural(plan.sites, 'site')}.`}>
      {adding ? (
        <section class="panel" aria-labelledby="version-title">
          <h2 id="version-title">New version</h2>
          <PlanForm
            plan={plan}
            onSend={async (version) => {
              await post(paths.planVersions(planId), version);
              setAdding(false);
              reload();
            }}
          />
        </section>
      ) : (
        <div class="actions">
          <button type="button" class="primary" onClick={() => setAdding(true)}>
            Add a version
          </button>
          <button type="button" aria-expanded={renaming} onClick={() => setRenaming(!renaming)}>
            Rename
          </button>
        </div>
      )}
      {renaming && (
        <RenameForm
          plan={plan}
          onRenamed={() => {
            setRenaming(false);
            reload();
          }}
        />
      )}
      {withdrawal.error && <Failure error={withdrawal.error} />}
      {plan.versions.map((version) => (
        <VersionTable
          key={version.version}
          version={version}
          onWithdraw={() =>
            withdrawal.run(() => del(paths.planVersion(planId, version.version)).then(reload))
          }
        />
      ))}
    </SetupMain>
  );
}

function RenameForm({ plan, onRenamed }: { plan: Plan; onRenamed: () => void }) {
  const [name, setName] = useState(plan.name);
  const { run, busy, error, fields } = useSubmit();
  const submit = async (event: Event) => {
    event.preventDefault();
    if (await run(() => patch(paths.plan(plan.planId), { name }))) onRenamed();
  };
  return (
    <form class="panel form" onSubmit={submit}>
      <div class="inline-form">
        <TextField label="New name" required value={name} onValue={setName} error={fields['name']} />
      </div>
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          Save the name
        </button>
      </div>
    </form>
  );
}

interface VersionTableProps {
  version: Plan['versions'][number];
  onWithdraw: () => void;
}

function VersionTable({ version, onWithdraw }: VersionTableProps) {
  const toCome = Date.parse(version.effectiveFrom) > Date.now();
  return (
    <details class="panel" open={version.inForce}>
      <summary>
        <strong>Version {version.version}</strong>
        {version.inForce && ', in force'}, from {formatMoment(version.effectiveFrom, ownZone())},{' '}
        {plural(version.channels.length, 'channel')}
        {version.note && `: ${version.note}`} <span class="quiet">({version.createdBy})</span>
      </summary>
      {toCome && (
        <ConfirmButton does="Take back" question="This version is still to come." onConfirm={onWithdraw} />
      )}
      <ScrollRegion class="plan-table is-read" label={`Channels of version ${version.version}`}>
        <table>
          <thead>
            <tr>
              <th>RF channel</th>
              <th class="figure">Centre, MHz</th>
              <th class="figure">Width, MHz</th>
              <th>Modulation</th>
              <th>Programmes</th>
            </tr>
          </thead>
          <tbody>
            {version.channels.map((channel) => (
              <tr key={channel.channel}>
                <td>{channel.channel}</td>
                <td class="figure">{formatMhz(channel.centreMhz)}</td>
                <td class="figure">{formatMhz(channel.widthMhz)}</td>
                <td>{MODULATION_WORD[channel.modulation]}</td>
                <td>{formatServices(channel.services) || '–'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollRegion>
    </details>
  );
}
