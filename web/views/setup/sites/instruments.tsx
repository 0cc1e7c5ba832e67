import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { Instrument, InstrumentsSchema } from '../../../../api/schemas/instruments.ts';
import { del, patch } from '../../../client.ts';
import { formatDay, formatMoment } from '../../../format.ts';
import { ConfirmButton } from '../../../parts/confirmButton.tsx';
import { TextField } from '../../../parts/field.tsx';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useMay } from '../../../session.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { CalibrationForm } from './calibrationForm.tsx';

/** What measures at a site: known by the name in its sweeps, completed by people. */
export function Instruments({ siteId, timeZone }: { siteId: number; timeZone: string }) {
  const path = paths.instruments(siteId);
  const { data, error, reload } = useLoad<z.infer<typeof InstrumentsSchema>>(path);
  return (
    <section class="panel" aria-labelledby="instruments-title">
      <h2 id="instruments-title">Instruments</h2>
      <p class="quiet">
        An instrument appears with its first sweep. Say when it was calibrated: from that moment on, another
        bias is taken for the instrument’s own and not for a fault, and readings after the due date are
        marked.
      </p>
      {error && <Failure error={error} onRetry={reload} />}
      {!data && !error && <Waiting what="the instruments" />}
      {data?.instruments.length === 0 && <p>No sweep has come in yet, so no instrument is known.</p>}
      <ul class="rows">
        {data?.instruments.map((instrument) => (
          <InstrumentLine
            key={instrument.name}
            siteId={siteId}
            instrument={instrument}
            timeZone={timeZone}
            onChanged={reload}
          />
        ))}
      </ul>
    </section>
  );
}

interface LineProps {
  siteId: number;
  instrument: Instrument;
  timeZone: string;
  onChanged: () => void;
}

const STANDING: Readonly<Record<Instrument['standing'], string>> = {
  in: 'In calibration',
  overdue: 'Out of calibration',
  unknown: 'Calibration not known',
};

function InstrumentLine({ siteId, instrument, timeZone, onChanged }: LineProps) {
  const [open, setOpen] = useState<'calibration' | 'particulars' | null>(null);
  const mayChange = useMay('technician');
  const removal = useSubmit();
  const { name, serial, note, standing, calibrations, points, lastReadAt } = instrument;
  const done = () => {
    setOpen(null);
    onChanged();
  };
  return (
    <li>
      <span>
        <strong class="mono">{name}</strong>
        {serial && <>, serial {serial}</>}
        {note && <>; {note}</>}
      </span>
      <span class={standing === 'overdue' ? 'abnormal' : undefined}>
        {standing === 'overdue' && <span aria-hidden="true">◆ </span>}
        {STANDING[standing]}
        {calibrations[0]?.dueAt && `, due ${formatDay(calibrations[0].dueAt, timeZone)}`}
      </span>
      <span class="quiet">
        {lastReadAt === null
          ? 'No reading of it is left.'
          : `Reads at ${points.join(', ')}; last on ${formatMoment(lastReadAt, timeZone)}.`}
      </span>
      {calibrations.map((calibration) => (
        <span key={calibration.calibrationId} class="calibration">
          Calibrated {formatMoment(calibration.calibratedAt, timeZone)}
          {calibration.uncertaintyDb !== null && `, uncertainty ±${calibration.uncertaintyDb} dB`}
          {calibration.certificate && `, certificate ${calibration.certificate}`}{' '}
          <span class="quiet">entered by {calibration.enteredBy}</span>{' '}
          {mayChange && (
            <ConfirmButton
              does="Take back"
              question="The readings since then are judged again without it."
              onConfirm={() =>
                removal.run(() =>
                  del(paths.calibration(siteId, name, calibration.calibrationId)).then(onChanged),
                )
              }
            />
          )}
        </span>
      ))}
      {removal.error && <Failure error={removal.error} />}
      {mayChange && open === null && (
        <span class="actions">
          <button
            type="button"
            class="small"
            aria-label={`Enter a calibration of ${name}`}
            onClick={() => setOpen('calibration')}
          >
            Enter a calibration
          </button>
          <button
            type="button"
            class="small"
            aria-label={`Serial number and note of ${name}`}
            onClick={() => setOpen('particulars')}
          >
            Serial number and note
          </button>
        </span>
      )}
      {open === 'calibration' && (
        <CalibrationForm
          siteId={siteId}
          name={name}
          timeZone={timeZone}
          onDone={done}
          onCancel={() => setOpen(null)}
        />
      )}
      {open === 'particulars' && (
        <ParticularsForm
          siteId={siteId}
          instrument={instrument}
          onDone={done}
          onCancel={() => setOpen(null)}
        />
      )}
    </li>
  );
}

interface ParticularsProps {
  siteId: number;
  instrument: Instrument;
  onDone: () => void;
  onCancel: () => void;
}

function ParticularsForm({ siteId, instrument, onDone, onCancel }: ParticularsProps) {
  const [serial, setSerial] = useState(instrument.serial);
  const [note, setNote] = useState(instrument.note);
  const { run, busy, error, fields } = useSubmit();
  const submit = async (event: Event) => {
    event.preventDefault();
    if (await run(() => patch(paths.instrument(siteId, instrument.name), { serial, note }))) onDone();
  };
  return (
    <form class="form" onSubmit={submit}>
      <div class="form-grid">
        <TextField label="Serial number" value={serial} onValue={setSerial} error={fields['serial']} />
        <TextField label="Note" value={note} onValue={setNote} error={fields['note']} />
      </div>
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          Save
        </button>
        <button type="button" onClick={onCancel}>
          Leave it
        </button>
      </div>
    </form>
  );
}
