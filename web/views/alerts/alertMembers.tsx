import type { OneAlertView } from '../../../api/schemas/alerts.ts';
import { plural } from '../../format.ts';
import { Link } from '../../parts/link.tsx';

/** The sites of a provider's event, those that show it still before those that are well again. */
export function AlertMembers({ alert: { members } }: { alert: OneAlertView }) {
  const showing = members.filter(({ shows }) => shows);
  const well = members.filter(({ shows }) => !shows);
  return (
    <section class="panel" aria-labelledby="alert-members">
      <h2 id="alert-members">Sites</h2>
      <h3>{plural(showing.length, 'site shows', 'sites show')} it now</h3>
      <MemberList members={showing} />
      {well.length > 0 && (
        <>
          <h3>{plural(well.length, 'site is', 'sites are')} well again</h3>
          <MemberList members={well} />
        </>
      )}
    </section>
  );
}

function MemberList({ members }: { members: OneAlertView['members'] }) {
  return (
    <ul class="rows alert-members">
      {members.map((member) => (
        <li key={member.siteId}>
          <Link href={`/sites/${member.siteId}`} class="row-link">
            {member.name}
          </Link>
          <span class="quiet">
            {member.town && `${member.town}, `}
            {plural(member.outlets, 'outlet')}
          </span>
          <span class="member-links">
            <a href={`/sites/${member.siteId}/report?kind=handoff`}>Report for the provider</a>
            {member.alertId !== null && (
              <Link href={`/alerts/${member.alertId}`}>Its own alert, {member.alertId}</Link>
            )}
          </span>
        </li>
      ))}
    </ul>
  );
}
