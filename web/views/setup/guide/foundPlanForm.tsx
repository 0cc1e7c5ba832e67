import { useState } from 'preact/hooks';
import type { FoundPlan } from '../../../../api/schemas/foundPlan.ts';
import type { PlanView } from '../../../../api/schemas/plans.ts';
import type { SiteSetup } from '../../../../api/schemas/siteSetup.ts';
import type { Modulation } from '../../../../ingest/plan/channelPlan.ts';
import { patch, post } from '../../../client.ts';
import { formatMhz, formatMoment, plural } from '../../../format.ts';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { ScrollRegion } from '../../../parts/scrollRegion.tsx';
import { paths } from '../../../paths.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { MODULATION_WORD } from '../../../words.ts';
import { SURENESS_WORD } from './sureness.ts';

type Line = FoundPlan['channels'][number] & { readonly how?: 'lost' | 'empty'; readonly taken: boolean };

const DIGITAL = (['qam256', 'qam64', '8vsb'] as const).map((key) => [key, MODULATION_WORD[key]] as const);
const MODULATIONS = Object.entries(MODULATION_WORD) as [Modulation, string][];

interface FoundPlanFormProps {
  site: SiteSetup;
  found: FoundPlan;
  onUsed: () => void;
}

/** A new plan of what was found: each channel to be taken or left, each modulation to be set right. */
export function FoundPlanForm({ site, found, onUsed }: FoundPlanFormProps) {
  const [name, setName] = useState(`${site.name}, as found`);
  const [digital, setDigital] = useState<Modulation>('qam256');
  const [lines, setLines] = useState<readonly Line[]>(() => linesOf(found));
  const { run, busy, error, fields } = useSubmit();
  const taken = lines.filter((line) => line.taken);
  const change = (channel: string, changed: Partial<Line>) =>
    setLines((old) => old.map((line) => (line.channel === channel ? { ...line, ...changed } : line)));
  const allDigital = (modulation: Modulation) => {
    setDigital(modulation);
    setLines((old) => old.map((line) => (line.modulation === 'analogue' ? line : { ...line, modulation })));
  };
  const submit = async (event: Event) => {
    event.preventDefault();
    const through = await run(async () => {
      const plan = await post<PlanView>(paths.plans, {
        name,
        raster: found.raster,
        effectiveFrom: found.firstAt,
        note: `found from a first sweep at ${site.name}`,
        channels: taken.map(({ channel, centreMhz, widthMhz, modulation, services }) => ({
          channel,
          centreMhz,
          widthMhz,
          modulation,
          services,
        })),
      });
      await patch(paths.site(site.siteId), { planId: plan.planId });
    });
    if (through) onUsed();
  };
  return (
    <form class="form boxed" onSubmit={submit}>
      <h4>Make a new plan of it</h4>
      <div class="form-grid">
        <TextField label="Name of the plan" required value={name} onValue={setName} error={fields['name']} />
        <ChoiceField
          label="Digital channels are"
          hint="Level and MER don’t tell which: ask the provider. Single channels can be set below."
          value={digital}
          options={DIGITAL}
          onValue={(value) => allDigital(value as Modulation)}
        />
      </div>
      <MissingChannels lines={lines} onChange={change} />
      <ChannelLines lines={lines} onChange={change} />
      <p class="quiet">
        In force from {formatMoment(found.firstAt, site.timeZone)}, the first sweep of the site. Programmes
        can be added on the plan’s own page.
      </p>
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy || taken.length === 0}>
          Confirm: a plan of {plural(taken.length, 'channel')}
        </button>
      </div>
    </form>
  );
}

interface LinesProps {
  lines: readonly Line[];
  onChange: (channel: string, changed: Partial<Line>) => void;
}

function MissingChannels({ lines, onChange }: LinesProps) {
  const missing = lines.filter(({ how }) => how !== undefined);
  if (missing.length === 0) return null;
  return (
    <fieldset class="boxed">
      <legend>Looked for and not there</legend>
      <p class="quiet">Take one into the plan only if the provider says that the feed should carry it.</p>
      <div class="check-list">
        {missing.map((line) => (
          <label class="check" key={line.channel}>
            <input
              type="checkbox"
              checked={line.taken}
              onChange={(event) => onChange(line.channel, { taken: event.currentTarget.checked })}
            />
            RF {line.channel}, {formatMhz(line.centreMhz)} MHz:{' '}
            {line.how === 'lost' ? 'not found' : 'only noise'}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

function ChannelLines({ lines, onChange }: LinesProps) {
  return (
    <details>
      <summary>Channel by channel ({lines.length})</summary>
      <ul class="quiet step-advice">
        {[...Map.groupBy(lines, ({ why }) => why)].map(([why, alike]) => (
          <li key={why}>
            {plural(alike.length, 'channel')}, {SURENESS_WORD[alike[0]!.modulationIs]}: {why}.
          </li>
        ))}
      </ul>
      <ScrollRegion class="plan-table" label="Channels that were found">
        <table>
          <thead>
            <tr>
              <th>Take</th>
              <th>RF channel</th>
              <th class="figure">Centre, MHz</th>
              <th>Modulation</th>
              <th>How sure</th>
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <tr key={line.channel}>
                <td>
                  <input
                    type="checkbox"
                    aria-label={`Take RF ${line.channel}`}
                    checked={line.taken}
                    onChange={(event) => onChange(line.channel, { taken: event.currentTarget.checked })}
                  />
                </td>
                <td>{line.channel}</td>
                <td class="figure">{formatMhz(line.centreMhz)}</td>
                <td>
                  <select
                    class="short-select"
                    aria-label={`Modulation of RF ${line.channel}`}
                    value={line.modulation}
                    onChange={(event) =>
                      onChange(line.channel, { modulation: event.currentTarget.value as Modulation })
                    }
                  >
                    {MODULATIONS.map(([key, words]) => (
                      <option key={key} value={key}>
                        {words}
                      </option>
                    ))}
                  </select>
                </td>
                <td>{SURENESS_WORD[line.modulationIs]}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollRegion>
    </details>
  );
}

function linesOf({ channels, missing }: FoundPlan): Line[] {
  return [
    ...channels.map((channel) => ({ ...channel, taken: true })),
    ...missing.map((channel) => ({ ...channel, taken: false })),
  ].sort((a, b) => a.centreMhz - b.centreMhz);
}
