import type { PointProgress } from '../../../../api/schemas/siteProgress.ts';
import { formatAgo, formatChange, formatMoment, formatNumber, plural } from '../../../format.ts';
import { Link } from '../../../parts/link.tsx';
import { BreachLines } from '../../site/breachList.tsx';
import { RejectedSweepList } from '../sites/rejectedSweepList.tsx';
import type { StepProps } from './stepBody.tsx';
import { guideAddress } from './steps.ts';

const EVERY_MS = 5_000;

/** What has been heard of each point, as it comes in. */
export function ReadingsStep({ setup, progress }: StepProps) {
  const { siteId, timeZone, planId } = setup.site;
  const heard = progress.points.filter((point) => point.heard !== null).length;
  if (progress.points.length === 0) return <p>There is no point yet: add points first.</p>;
  return (
    <>
      <p role="status">
        {heard} of {plural(progress.points.length, 'point')} heard. This page looks again every{' '}
        {EVERY_MS / 1000} s; times in {timeZone}.
      </p>
      {heard > 0 && planId === null && (
        <p class="notice">
          No channel plan yet, so nothing is held against limits.{' '}
          <Link href={guideAddress(siteId, 'plan')}>Have it found from these readings.</Link>
        </p>
      )}
      <ul class="rows heard-list">
        {progress.points.map((point) => (
          <HeardPoint key={point.pointId} point={point} timeZone={timeZone} />
        ))}
      </ul>
      <RejectedSweepList siteId={siteId} timeZone={timeZone} everyMs={EVERY_MS} />
    </>
  );
}

function HeardPoint({ point, timeZone }: { point: PointProgress; timeZone: string }) {
  const { heard } = point;
  return (
    <li>
      <p>
        <strong>{point.title}</strong>{' '}
        <span class="quiet">
          <span class="mono">{point.name}</span>
        </span>
      </p>
      {heard === null ? (
        <p>
          <span aria-hidden="true">○ </span>Waiting for a first sweep
          <span class="quiet">, due every {intervalWords(point.intervalS)}</span>
        </p>
      ) : (
        <>
          <p>
            <span aria-hidden="true">● </span>Heard {formatAgo(heard.at, Date.now())}
            <span class="quiet">
              , {formatMoment(heard.at, timeZone)}, by {heard.instrument}
            </span>
          </p>
          <dl class="facts">
            <Fact
              name="Channels"
              value={`${heard.found} found${heard.lost > 0 ? `, ${heard.lost} not found` : ''}`}
            />
            {heard.outsidePlan !== null && heard.outsidePlan > 0 && (
              <Fact name="Outside the plan" value={String(heard.outsidePlan)} />
            )}
            <Fact name="Level at mid band" value={`${formatNumber(heard.levelDbmv)} dBmV`} />
            <Fact name="Tilt" value={`${formatChange(heard.tiltDb)} dB`} />
            {heard.flatnessDb !== null && (
              <Fact name="Flatness" value={`${formatNumber(heard.flatnessDb)} dB`} />
            )}
            {heard.worstMargin !== null && (
              <Fact
                name="Worst MER or CNR margin"
                value={`${formatChange(heard.worstMargin.marginDb)} dB${heard.worstMargin.channel === null ? '' : `, RF ${heard.worstMargin.channel}`}`}
              />
            )}
          </dl>
          <Verdict point={point} />
        </>
      )}
    </li>
  );
}

/** What lies outside the point's limits; nothing is said before there is a plan to judge by. */
function Verdict({ point: { heard, limitSet } }: { point: PointProgress }) {
  if (heard === null || heard.outsidePlan === null) return null;
  const held = `${limitSet.name} (${limitSet.source})`;
  if (heard.breaches.length === 0) return <p class="quiet">Nothing lies outside its limits: {held}.</p>;
  return (
    <>
      <p class="quiet">Held against {held}:</p>
      <BreachLines breaches={heard.breaches} />
    </>
  );
}

function Fact({ name, value }: { name: string; value: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{value}</dd>
    </div>
  );
}

function intervalWords(intervalS: number): string {
  if (intervalS % 3600 === 0) return plural(intervalS / 3600, 'hour');
  return intervalS % 60 === 0 ? `${intervalS / 60} min` : `${intervalS} s`;
}
