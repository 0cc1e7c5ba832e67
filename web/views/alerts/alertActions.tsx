import { useState } from 'preact/hooks';
import { type AlertAct, mayAct } from '../../../api/alerts/lifeCycle.ts';
import type { AlertView, DoneToAlerts } from '../../../api/schemas/alerts.ts';
import { alertsChanged } from '../../alertsChanged.ts';
import { post } from '../../client.ts';
import { formatMoment, plural } from '../../format.ts';
import { AreaField, ChoiceField } from '../../parts/field.tsx';
import { Failure } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { useMay } from '../../session.ts';
import { useSubmit } from '../../useSubmit.ts';

interface Deed {
  /** The last part of the address that does it. */
  readonly verb: string;
  readonly does: string;
  /** What the states of alerts must allow; null: any. */
  readonly act: AlertAct | null;
  readonly reason: 'must' | 'may';
  readonly hint: string;
  readonly isForManagers?: boolean;
}

const DEEDS: readonly Deed[] = [
  {
    verb: 'acknowledge',
    does: 'Acknowledge',
    act: 'acknowledge',
    reason: 'may',
    hint: 'Says that somebody sees to it. The alert stays until sweeps confirm that it is over.',
  },
  {
    verb: 'shelve',
    does: 'Shelve',
    act: 'shelve',
    reason: 'must',
    hint: 'Out of sight until the end of its time; then it is told anew if it still stands.',
  },
  {
    verb: 'unshelve',
    does: 'Take off the shelf',
    act: 'unshelve',
    reason: 'may',
    hint: 'Told anew if it still stands.',
  },
  {
    verb: 'note',
    does: 'Add a note',
    act: null,
    reason: 'must',
    hint: 'Goes on the record of the alert and changes nothing else.',
  },
  {
    verb: 'take-out-of-service',
    does: 'Take out of service',
    act: 'take-out-of-service',
    reason: 'must',
    hint: 'Not told until somebody returns it: for a part that is being rebuilt, say.',
    isForManagers: true,
  },
  {
    verb: 'return-to-service',
    does: 'Return to service',
    act: 'return-to-service',
    reason: 'may',
    hint: 'Told anew if it still stands.',
    isForManagers: true,
  },
];

interface AlertActionsProps {
  alerts: readonly AlertView[];
  onDone?: () => void;
}

/** What a reader may do to these alerts; each opens a small form in place. */
export function AlertActions({ alerts, onDone }: AlertActionsProps) {
  const [open, setOpen] = useState<Deed | null>(null);
  const [refused, setRefused] = useState<DoneToAlerts['refused']>([]);
  const isTechnician = useMay('technician');
  const isManager = useMay('manager');
  if (!isTechnician) return null;

  const may = DEEDS.filter(({ act, isForManagers }) => {
    const allowed = act === null || alerts.some(({ state }) => mayAct(state, act));
    return allowed && (!isForManagers || isManager);
  });
  const done = (result: DoneToAlerts) => {
    setOpen(null);
    setRefused(result.refused);
    alertsChanged();
    if (result.refused.length === 0) onDone?.();
  };
  return (
    <div class="alert-actions no-print">
      <div class="actions">
        {may.map((deed) => (
          <button
            key={deed.verb}
            type="button"
            aria-expanded={open === deed}
            class={deed.verb === 'acknowledge' && open === null ? 'primary' : ''}
            onClick={() => setOpen(open === deed ? null : deed)}
          >
            {deed.does}
          </button>
        ))}
      </div>
      {refused.length > 0 && (
        <div class="notice notice-failure" role="alert">
          <p>
            <strong>{plural(refused.length, 'alert')} refused.</strong>{' '}
            {[...new Set(refused.map(({ reason }) => reason))].join('; ')}.
          </p>
        </div>
      )}
      {open && (
        <DeedForm key={open.verb} deed={open} alerts={alerts} onDone={done} onLeave={() => setOpen(null)} />
      )}
    </div>
  );
}

const HOUR_MS = 3_600_000;
const SHELF_HOURS: readonly (readonly [string, string])[] = [
  ['8', '8 hours'],
  ['24', '1 day'],
  ['72', '3 days'],
  ['168', '1 week'],
  ['336', '2 weeks'],
  ['672', '4 weeks'],
];

interface DeedFormProps {
  deed: Deed;
  alerts: readonly AlertView[];
  onDone: (result: DoneToAlerts) => void;
  onLeave: () => void;
}

function DeedForm({ deed, alerts, onDone, onLeave }: DeedFormProps) {
  const [why, setWhy] = useState('');
  const [hours, setHours] = useState('24');
  const { run, busy, error, fields } = useSubmit();
  const isShelf = deed.verb === 'shelve';
  const until = new Date(Date.now() + Number(hours) * HOUR_MS).toISOString();
  const send = (event: Event) => {
    event.preventDefault();
    const alertIds = alerts.map(({ alertId }) => alertId);
    const body = { alertIds, why, ...(isShelf ? { until } : {}) };
    return run(async () => onDone(await post<DoneToAlerts>(`${paths.alerts}/${deed.verb}`, body)));
  };
  return (
    <form class="form boxed alert-form" onSubmit={send}>
      <p class="quiet">{deed.hint}</p>
      {isShelf && (
        <ChoiceField
          label="For"
          value={hours}
          onValue={setHours}
          options={SHELF_HOURS}
          hint={`Until ${formatMoment(until, alerts[0]!.timeZone)}`}
          error={fields['until']}
        />
      )}
      <AreaField
        label={deed.verb === 'note' ? 'Note' : deed.reason === 'must' ? 'Reason' : 'Note, if there is one'}
        value={why}
        onValue={setWhy}
        required={deed.reason === 'must'}
        error={fields['why']}
      />
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          {deed.does}
        </button>
        <button type="button" onClick={onLeave}>
          Leave it
        </button>
      </div>
    </form>
  );
}
