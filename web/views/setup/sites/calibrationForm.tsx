import { useState } from 'preact/hooks';
import { post } from '../../../client.ts';
import { zoneName } from '../../../format.ts';
import { TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { toInstant, toLocal } from '../../../zonedTime.ts';

interface CalibrationFormProps {
  siteId: number;
  name: string;
  timeZone: string;
  onDone: () => void;
  onCancel: () => void;
}

/** When an instrument was calibrated, until when that holds, and how well it reads. */
export function CalibrationForm({ siteId, name, timeZone, onDone, onCancel }: CalibrationFormProps) {
  const nowAt = new Date().toISOString();
  const [calibrated, setCalibrated] = useState(toLocal(nowAt, timeZone));
  const [due, setDue] = useState('');
  const [uncertainty, setUncertainty] = useState('');
  const [certificate, setCertificate] = useState('');
  const { run, busy, error, fields } = useSubmit();
  const submit = async (event: Event) => {
    event.preventDefault();
    const sent = await run(() =>
      post(paths.calibrations(siteId, name), {
        calibratedAt: toInstant(calibrated, timeZone),
        dueAt: due === '' ? null : toInstant(due, timeZone),
        uncertaintyDb: uncertainty === '' ? null : Number(uncertainty),
        certificate,
      }),
    );
    if (sent) onDone();
  };
  return (
    <form class="form" onSubmit={submit}>
      <div class="form-grid">
        <TextField
          label="Back in use after calibration"
          type="datetime-local"
          required
          value={calibrated}
          onValue={setCalibrated}
          hint={`Its first reading with the new calibration, ${zoneName(nowAt, timeZone)}.`}
          error={fields['calibratedAt']}
        />
        <TextField
          label="Due again"
          type="datetime-local"
          value={due}
          onValue={setDue}
          hint="Readings from then on are marked. Empty: no date is set."
          error={fields['dueAt']}
        />
        <TextField
          label="Uncertainty of level, ± dB"
          type="number"
          value={uncertainty}
          onValue={setUncertainty}
          hint="As the certificate states it."
          error={fields['uncertaintyDb']}
        />
        <TextField
          label="Certificate"
          value={certificate}
          onValue={setCertificate}
          hint="Number, laboratory, or where it is kept."
          error={fields['certificate']}
        />
      </div>
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          Enter the calibration
        </button>
        <button type="button" onClick={onCancel}>
          Leave it
        </button>
      </div>
    </form>
  );
}
