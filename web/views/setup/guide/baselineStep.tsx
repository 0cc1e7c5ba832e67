import type { PointProgress } from '../../../../api/schemas/siteProgress.ts';
import { formatDay } from '../../../format.ts';
import { Link } from '../../../parts/link.tsx';
import type { StepProps } from './stepBody.tsx';

/** Each point's accepted reference, or the way to it. */
export function BaselineStep({ setup, progress }: StepProps) {
  const { siteId, timeZone } = setup.site;
  if (progress.points.length === 0) return <p>There is no point yet: add points first.</p>;
  return (
    <>
      <p>
        The reference that every later sweep is held against, signed with your name. Take it when the
        installation is as it should be. {progress.leastSweeps} sweeps are enough to begin with; a quiet
        stretch of a few days makes a better one.
      </p>
      <ul class="rows">
        {progress.points.map((point) => (
          <li key={point.pointId}>
            <strong>{point.title}</strong>
            <span>{standing(point, progress.leastSweeps, timeZone)}</span>
            {point.baseline?.exceptionNote && (
              <span class="quiet">Exception: “{point.baseline.exceptionNote}”</span>
            )}
            {(point.baseline !== null || point.sweeps >= progress.leastSweeps) && (
              <Link
                href={`/setup/sites/${siteId}/points/${point.pointId}/baseline`}
                class="button small"
                label={`${point.baseline === null ? 'Take the baseline' : 'Look at the baseline'} of ${point.title}`}
              >
                {point.baseline === null ? 'Take the baseline' : 'Look at the baseline'}
              </Link>
            )}
          </li>
        ))}
      </ul>
    </>
  );
}

function standing({ baseline, sweeps }: PointProgress, least: number, timeZone: string): string {
  if (baseline !== null) {
    return `✓ Version ${baseline.version}, accepted by ${baseline.acceptedBy} on ${formatDay(baseline.acceptedAt, timeZone)}`;
  }
  if (sweeps >= least) return 'Ready: enough sweeps are in.';
  return `${sweeps} of ${least} sweeps so far.`;
}
