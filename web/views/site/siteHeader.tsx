import type { SiteView } from '../../../api/schemas/site.ts';
import { formatDaysLeft, formatMoment, formatOutletDays, formatShortDay, plural } from '../../format.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { Link } from '../../parts/link.tsx';
import { VerdictMark } from '../../parts/verdictMark.tsx';
import { SIDE_WORD } from '../../words.ts';
import { hopInWords, hopNote, leadingFinding } from './placing.ts';

/** Which building, how it stands, and what to check first. */
export function SiteHeader({ view }: { view: SiteView }) {
  const { site } = view;
  return (
    <header class="site-header">
      <nav class="crumbs no-print" aria-label="You are here">
        <Link href="/">Fleet</Link> <span aria-hidden="true">/</span> {site.name}
      </nav>
      <div class="site-title">
        <h1 tabIndex={-1}>{site.name}</h1>
        <p class="quiet">{[site.address, site.town].filter(Boolean).join(', ')}</p>
        <Link href={`/setup/sites/${site.siteId}`} class="button small no-print">
          Set up this site
        </Link>
        <ReportLinks siteId={site.siteId} />
      </div>
      <p class="lead">
        <VerdictMark verdict={site.verdict} /> {site.sentence}
      </p>
      <CheckFirst view={view} />
    </header>
  );
}

/** Reports are made by the server: these links leave the page. */
function ReportLinks({ siteId }: { siteId: number }) {
  const href = (kind: string) => `/sites/${siteId}/report?kind=${kind}`;
  return (
    <nav class="report-links no-print" aria-label="Reports">
      Report for <a href={href('handoff')}>the provider</a> · <a href={href('building')}>the owner</a> ·{' '}
      <a href={href('turnover')}>turnover record</a>
    </nav>
  );
}

/** The particulars of a site and of its rank. */
export function SiteFacts({ site }: { site: SiteView['site'] }) {
  return (
    <dl class="facts">
      <Fact term="At risk, 14 days">{formatOutletDays(site.outletDays)} outlet-days</Fact>
      <Fact term="Since">{site.since === null ? '–' : formatShortDay(site.since, site.timeZone)}</Fact>
      <Fact term="Left until a limit">{formatDaysLeft(site.daysToLimit)}</Fact>
      <Fact term="Whose side">{site.side === null ? '–' : SIDE_WORD[site.side]}</Fact>
      <Fact term="Provider">{site.provider ?? 'not set'}</Fact>
      <Fact term="Outlets">{plural(site.outlets, 'outlet')}</Fact>
      <Fact term="Channel plan">
        {site.planId === null ? 'not set' : <Link href={`/setup/plans/${site.planId}`}>{site.planName}</Link>}
      </Fact>
      <Fact term="Last sweep">
        {site.lastSweepAt === null ? 'none yet' : formatMoment(site.lastSweepAt, site.timeZone)}
      </Fact>
      {site.contact && <Fact term="Contact">{site.contact}</Fact>}
      {site.accessNotes && <Fact term="Access">{site.accessNotes}</Fact>}
    </dl>
  );
}

function Fact({ term, children }: { term: string; children: preact.ComponentChildren }) {
  return (
    <div>
      <dt>{term}</dt>
      <dd>{children}</dd>
    </div>
  );
}

/** Which hop to check, with the cautions that belong to such work. */
function CheckFirst({ view }: { view: SiteView }) {
  const finding = leadingFinding(view);
  if (!finding) return <SweepsFirst view={view} />;
  const note = hopNote(view, finding.hop);
  const provider = finding.side === 'provider';
  return (
    <section class="check-first" aria-label="What to check first">
      <p>
        <strong>{provider ? 'Report to the provider:' : 'Check first:'}</strong> the part{' '}
        {hopInWords(view, finding.hop)}
        {note && !provider && ` (${note})`}.
        {finding.side === 'unsure' && ' Whose side it is can’t be told yet.'}
      </p>
      <Cautions side={finding.side} />
    </section>
  );
}

/** Where nothing is found in the readings, the way to them is checked. */
function SweepsFirst({ view }: { view: SiteView }) {
  const trouble = view.troubles.find(({ kind }) => kind !== 'late');
  if (!trouble) return null;
  return (
    <section class="check-first" aria-label="What to check first">
      <p>
        <strong>Check first:</strong> {trouble.doFirst}
      </p>
      <Cautions side="unsure" />
    </section>
  );
}
