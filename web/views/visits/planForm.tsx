import { useState } from 'preact/hooks';
import { readStored, writeStored } from '../../offline/stored.ts';
import { TextField } from '../../parts/field.tsx';
import { ownZone, toInstant, toLocal } from '../../zonedTime.ts';
import { parseCoordinates, type StartPlace } from './startPlace.ts';

const START_KEY = 'levelkeep.visit-start';

/** The day that somebody asks about. */
export interface DayQuestion {
  readonly technician: string;
  readonly startName: string;
  readonly startLatitude: number | null;
  readonly startLongitude: number | null;
  readonly timeZone: string;
  readonly from: string;
  readonly to: string;
}

interface PlanFormProps {
  technician: string;
  busy: boolean;
  fields: Readonly<Record<string, string>>;
  onAsk: (question: DayQuestion) => void;
}

/** Who, when, and from where. */
export function PlanForm({ technician, busy, fields, onAsk }: PlanFormProps) {
  const timeZone = ownZone();
  const [who, setWho] = useState(technician);
  const [date, setDate] = useState(() => toLocal(new Date().toISOString(), timeZone).slice(0, 10));
  const [from, setFrom] = useState('08:00');
  const [to, setTo] = useState('16:30');
  const [start, setStart] = useState<StartPlace>(
    () => readStored<StartPlace>(START_KEY) ?? { name: '', coordinates: '' },
  );
  const [fault, setFault] = useState('');

  const submit = (event: Event) => {
    event.preventDefault();
    const place = parseCoordinates(start.coordinates);
    if (place === undefined) {
      setFault('must be degrees north and east with a comma between, such as "41.20, -72.10"');
      return;
    }
    setFault('');
    writeStored(START_KEY, start);
    const [fromAt, toAt] = [toInstant(`${date}T${from}`, timeZone), toInstant(`${date}T${to}`, timeZone)];
    if (!fromAt || !toAt) return;
    onAsk({
      technician: who,
      startName: start.name,
      startLatitude: place?.latitude ?? null,
      startLongitude: place?.longitude ?? null,
      timeZone,
      from: fromAt,
      to: toAt,
    });
  };
  return (
    <form class="form" onSubmit={submit}>
      <div class="form-grid plan-grid">
        <TextField label="Technician" value={who} required onValue={setWho} />
        <TextField label="Day" type="date" value={date} required onValue={setDate} />
        <TextField
          label="Leave at"
          type="time"
          hint={timeZone}
          value={from}
          required
          onValue={setFrom}
          error={fields['from']}
        />
        <TextField
          label="Back by"
          type="time"
          hint={timeZone}
          value={to}
          required
          onValue={setTo}
          error={fields['to']}
        />
        <TextField
          label="Start from"
          hint="A name for the sheet, such as the depot."
          value={start.name}
          onValue={(name) => setStart({ ...start, name })}
        />
        <div class="field">
          <TextField
            label="Where the start is"
            hint="Degrees north, degrees east, such as “41.2, −72.1”. Without them the first and the last drive count as half an hour."
            value={start.coordinates}
            onValue={(coordinates) => setStart({ ...start, coordinates })}
            error={fault || fields['startLatitude'] || fields['startLongitude']}
          />
          <Here onPlace={(coordinates) => setStart({ ...start, coordinates })} />
        </div>
      </div>
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          Propose a day
        </button>
        <span class="quiet">Nothing is saved until you keep the day.</span>
      </div>
    </form>
  );
}

/** Takes the place from the device, where it gives one. */
function Here({ onPlace }: { onPlace: (coordinates: string) => void }) {
  const [refused, setRefused] = useState(false);
  if (!('geolocation' in navigator)) return null;
  const ask = () =>
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => {
        setRefused(false);
        onPlace(`${coords.latitude.toFixed(4)}, ${coords.longitude.toFixed(4)}`);
      },
      () => setRefused(true),
    );
  return (
    <p>
      <button type="button" class="small" onClick={ask}>
        Use where I am now
      </button>{' '}
      {refused && <span class="quiet">This device did not say where it is: type the coordinates.</span>}
    </p>
  );
}
