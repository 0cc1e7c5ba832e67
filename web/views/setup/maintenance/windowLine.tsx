import type { MaintenanceWindow } from '../../../../api/schemas/maintenance.ts';
import { formatMoment } from '../../../format.ts';
import { ConfirmButton } from '../../../parts/confirmButton.tsx';
import { Link } from '../../../parts/link.tsx';
import { ownZone } from '../../../zonedTime.ts';

interface WindowLineProps {
  window: MaintenanceWindow;
  mayChange: boolean;
  onChange: () => void;
  onEnd: () => void;
  onCancel: () => void;
}

const STATE: Readonly<Record<MaintenanceWindow['state'], string>> = {
  planned: 'Planned',
  running: 'Running now',
  over: 'Over',
  cancelled: 'Cancelled',
};

/** One window: where, when, why, and what can still be done about it. */
export function WindowLine({ window, mayChange, onChange, onEnd, onCancel }: WindowLineProps) {
  const zone = window.timeZone ?? ownZone();
  const { state } = window;
  return (
    <li class={state === 'cancelled' ? 'quiet' : undefined}>
      <span>
        <strong>{STATE[state]}</strong>: <Where window={window} />
      </span>
      <span>
        {formatMoment(window.fromAt, zone)} to {formatMoment(window.toAt, zone)}
      </span>
      <span>
        {window.reason}. <span class="quiet">Effect: {window.effect}.</span>
      </span>
      <span class="quiet">
        Planned by {window.createdBy} on {formatMoment(window.createdAt, zone)}
        {window.cancelledAt !== null &&
          `, cancelled by ${window.cancelledBy} on ${formatMoment(window.cancelledAt, zone)}: readings inside are judged`}
        .
      </span>
      {mayChange && state !== 'cancelled' && (
        <span class="actions">
          <button type="button" class="small" onClick={onChange}>
            Change
          </button>
          {state === 'running' && (
            <ConfirmButton
              does="End now"
              question="Readings from now on are judged again."
              onConfirm={onEnd}
            />
          )}
          <ConfirmButton
            does="Cancel it"
            question="All readings inside are judged, as if it had not been planned."
            onConfirm={onCancel}
          />
        </span>
      )}
    </li>
  );
}

function Where({ window: { scope, scopeId, scopeName } }: { window: MaintenanceWindow }) {
  if (scope === 'fleet') return <>the whole fleet</>;
  if (scope === 'provider') return <>all sites fed by {scopeName ?? 'a provider no longer there'}</>;
  return <Link href={`/sites/${scopeId}`}>{scopeName ?? `site ${scopeId}`}</Link>;
}
