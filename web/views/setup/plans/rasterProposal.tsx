import { useState } from 'preact/hooks';
import type { PlanProposal } from '../../../../api/schemas/plans.ts';
import type { Modulation } from '../../../../ingest/plan/channelPlan.ts';
import { get, withQuery } from '../../../client.ts';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { MODULATION_WORD } from '../../../words.ts';

interface RasterProposalProps {
  raster: string;
  onProposal: (proposal: PlanProposal) => void;
}

const MODULATIONS = Object.entries(MODULATION_WORD) as [Modulation, string][];

/** Every channel of a raster between two frequencies, to begin a plan with. */
export function RasterProposal({ raster, onProposal }: RasterProposalProps) {
  const [modulation, setModulation] = useState('qam256');
  const [lowMhz, setLowMhz] = useState('54');
  const [highMhz, setHighMhz] = useState('1002');
  const { run, busy, error, fields } = useSubmit();
  const propose = () =>
    run(async () => {
      onProposal(
        await get<PlanProposal>(withQuery(paths.planProposal, { raster, modulation, lowMhz, highMhz })),
      );
    });
  return (
    <fieldset class="boxed">
      <legend>Begin with every channel of the raster</legend>
      <div class="form-grid">
        <TextField
          label="From, MHz"
          type="number"
          value={lowMhz}
          onValue={setLowMhz}
          error={fields['lowMhz']}
        />
        <TextField
          label="To, MHz"
          type="number"
          value={highMhz}
          onValue={setHighMhz}
          error={fields['highMhz']}
        />
        <ChoiceField label="Modulation" options={MODULATIONS} value={modulation} onValue={setModulation} />
      </div>
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="button" disabled={busy} onClick={propose}>
          Fill in the channels
        </button>
        <span class="quiet">Replaces the lines below.</span>
      </div>
    </fieldset>
  );
}
