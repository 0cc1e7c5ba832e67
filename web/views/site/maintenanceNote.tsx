import type { MarkedWindow } from '../../../api/schemas/maintenance.ts';
import { formatMoment } from '../../format.ts';
import { Link } from '../../parts/link.tsx';

/** Work on the plant that is in progress or near. */
export function MaintenanceNote({
  windows,
  timeZone,
}: {
  windows: readonly MarkedWindow[];
  timeZone: string;
}) {
  if (windows.length === 0) return null;
  return (
    <div class="notice maintenance-note">
      {windows.map(({ fromAt, toAt, reason }) => (
        <p key={fromAt}>
          {Date.parse(fromAt) <= Date.now() ? (
            <>
              <strong>In maintenance</strong> until {formatMoment(toAt, timeZone)}, nothing is judged:{' '}
              {reason}.
            </>
          ) : (
            <>
              <strong>Planned</strong> from {formatMoment(fromAt, timeZone)}: {reason}.
            </>
          )}
        </p>
      ))}
      <Link href="/setup/maintenance" class="no-print">
        All windows
      </Link>
    </div>
  );
}
