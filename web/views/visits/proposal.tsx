import type { DayProposal, PlannedSite, ProposedStop } from '../../../api/schemas/visits.ts';
import { VISIT_ASSUMPTIONS } from '../../../api/visits/assumptions.ts';
import { formatClock, formatOutletDays, plural, zoneName } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { Empty } from '../../parts/notice.tsx';
import { formatMinutes, LEFT_WORD } from './visitWords.ts';

interface ProposalProps {
  proposal: DayProposal;
  timeZone: string;
  busy: boolean;
  onLeaveOut: (siteId: number) => void;
  onTakeBack: (siteId: number) => void;
  onKeep: () => void;
}

/** A day before anybody has kept it: its buildings in order, and what it leaves. */
export function Proposal({ proposal, timeZone, busy, onLeaveOut, onTakeBack, onKeep }: ProposalProps) {
  const { stops, backAt, savedOutletDays, left } = proposal;
  const zone = zoneName(new Date().toISOString(), timeZone);
  return (
    <section class="panel" aria-labelledby="proposal-title">
      <h2 id="proposal-title">
        {stops.length === 0
          ? 'Nothing to visit in these hours'
          : `${plural(stops.length, 'building')}, back at ${formatClock(backAt!, timeZone)} ${zone}`}
      </h2>
      {stops.length === 0 && (
        <Empty>
          <p>
            {left.length === 0
              ? 'No alert that a visit could mend is open.'
              : 'See below why the sites with open alerts are not in the day.'}
          </p>
        </Empty>
      )}
      {stops.length > 0 && (
        <>
          <p class="quiet">
            Saves about {formatOutletDays(savedOutletDays)} outlet-days of unacceptable service over the next
            14 days, if every repair succeeds.
          </p>
          <ol class="stops">
            {stops.map((stop) => (
              <StopRow key={stop.siteId} stop={stop} timeZone={timeZone} onLeaveOut={onLeaveOut} />
            ))}
          </ol>
          <div class="actions">
            <button type="button" class="primary" disabled={busy} onClick={onKeep}>
              Keep this day
            </button>
          </div>
        </>
      )}
      {left.length > 0 && <Left left={left} onTakeBack={onTakeBack} />}
      <Working />
    </section>
  );
}

interface StopRowProps {
  stop: ProposedStop;
  timeZone: string;
  onLeaveOut: (siteId: number) => void;
}

function StopRow({ stop, timeZone, onLeaveOut }: StopRowProps) {
  return (
    <li>
      <p class="stop-time">
        {formatClock(stop.arriveAt, timeZone)}–{formatClock(stop.leaveAt, timeZone)}{' '}
        <span class="quiet">after {formatMinutes(stop.driveMinutes)} of driving</span>
      </p>
      <div>
        <Link href={`/sites/${stop.siteId}`} class="row-link">
          {stop.name}
        </Link>{' '}
        <span class="quiet">{stop.town}</span>
        <AlertLines site={stop} />
      </div>
      <p class="stop-saved">
        {formatOutletDays(stop.savedOutletDays)} <span class="quiet">outlet-days saved</span>
      </p>
      <button type="button" class="small" onClick={() => onLeaveOut(stop.siteId)}>
        Leave out<span class="sr-only"> {stop.name}</span>
      </button>
    </li>
  );
}

function AlertLines({ site: { alerts, latitude } }: { site: PlannedSite }) {
  return (
    <ul class="plain-lines">
      {alerts.map(({ alertId, title, minutes }) => (
        <li key={alertId}>
          {title}, <span class="quiet">about {formatMinutes(minutes)}</span>
        </li>
      ))}
      {latitude === null && (
        <li class="quiet">Its coordinates are not set up, so the drive is a guess of half an hour.</li>
      )}
    </ul>
  );
}

function Left({ left, onTakeBack }: { left: DayProposal['left']; onTakeBack: (siteId: number) => void }) {
  const byReason = Map.groupBy(left, ({ reason }) => reason);
  return (
    <details class="left" open={left.length <= 6}>
      <summary>{plural(left.length, 'site')} with open alerts not in this day</summary>
      {[...byReason].map(([reason, sites]) => (
        <div key={reason}>
          <h3>{LEFT_WORD[reason]}</h3>
          <ul class="rows">
            {sites.map((site) => (
              <li key={site.siteId}>
                <span>
                  <Link href={`/sites/${site.siteId}`}>{site.name}</Link>{' '}
                  <span class="quiet">
                    {site.town}: {site.alerts.map(({ title }) => title).join('; ')}.{' '}
                    {formatOutletDays(site.outletDays)} outlet-days at risk
                  </span>{' '}
                  {reason === 'left-out' && (
                    <button type="button" class="small" onClick={() => onTakeBack(site.siteId)}>
                      Take it in again
                    </button>
                  )}
                </span>
              </li>
            ))}
          </ul>
        </div>
      ))}
    </details>
  );
}

function Working() {
  const { detourFactor, speedKmh, parkMinutes, accessMinutes, horizonDays } = VISIT_ASSUMPTIONS;
  return (
    <details>
      <summary>How the order comes about</summary>
      <ul class="counting">
        <li>
          The order that saves most outlet-days within the hours, drives included. Up to nine buildings it is
          the best of all orders; of more, nine are chosen by outlet-days saved per hour and then ordered. On
          made-up days of 14 buildings that saved 0.7 % less than the best at worst.
        </li>
        <li>
          A drive is the straight line over the ground × {detourFactor}, at {speedKmh} km/h, and {parkMinutes}{' '}
          minutes to park. Look at the traffic of the day yourself.
        </li>
        <li>
          Time at a building is {accessMinutes} minutes to get in and out, and what the probable cause of each
          alert usually takes.
        </li>
        <li>
          What a site has at risk over {horizonDays} days is taken to run evenly until it is repaired; several
          alerts of one building count once.
        </li>
        <li>All these figures are common practice, with no source.</li>
      </ul>
    </details>
  );
}
