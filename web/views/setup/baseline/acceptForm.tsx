import { useState } from 'preact/hooks';
import type { AcceptBaselineInput, BaselineProposalView } from '../../../../api/schemas/baseline.ts';
import { post } from '../../../client.ts';
import { AreaField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useSubmit } from '../../../useSubmit.ts';
import type { TimeWindow } from './windowForm.tsx';

interface AcceptFormProps {
  siteId: number;
  proposal: BaselineProposalView;
  window: TimeWindow;
  onAccepted: () => void;
}

/** Accepting is signed with the reader's name; what lies outside its limits needs a word of why. */
export function AcceptForm({ siteId, proposal, window, onAccepted }: AcceptFormProps) {
  const [note, setNote] = useState('');
  const { run, busy, error, fields } = useSubmit();
  const outside = proposal.outside.length;
  const submit = async (event: Event) => {
    event.preventDefault();
    const body: AcceptBaselineInput = { ...window };
    if (outside > 0) body.exceptionNote = note;
    const through = await run(() => post(paths.baselines(siteId, proposal.pointId), body));
    if (through) onAccepted();
  };
  return (
    <form class="panel form" onSubmit={submit}>
      <h2>Accept</h2>
      <p>
        It becomes version {(proposal.current?.version ?? 0) + 1}, signed with your name. Earlier versions
        stay; none is ever overwritten.
      </p>
      {outside > 0 && (
        <AreaField
          label="Why is it accepted although something lies outside its limits?"
          required
          value={note}
          onValue={setNote}
          error={fields['exceptionNote']}
          hint="Kept with the baseline and shown wherever it is used."
        />
      )}
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          {outside > 0 ? 'Accept with this exception' : 'Accept as baseline'}
        </button>
      </div>
    </form>
  );
}
