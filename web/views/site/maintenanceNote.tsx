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
      <div>
        {windows.map((window) => (
          <p key={window.fromAt}>
            {Date.parse(window.fromAt) <= Date.now() ? (
              <>
                <strong>In maintenance</strong> until {formatMoment(window.toAt, timeZone)}: {window.reason}.
                What is read meanwhile is kept and not judged, and a sweep that stays away is not told.
              </>
            ) : (
              <>
                <strong>Maintenance planned</strong> from {formatMoment(window.fromAt, timeZone)} to{' '}
                {formatMoment(window.toAt, timeZone)}: {window.reason}.
              </>
            )}
          </p>
        ))}
      </div>
      <Link href="/setup/maintenance" class="no-print">
        All windows
      </Link>
    </div>
  );
}
