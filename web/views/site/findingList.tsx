import type { FindingView } from '../../../api/schemas/common.ts';
import type { SiteView } from '../../../api/schemas/site.ts';
import {
  formatClock,
  formatDay,
  formatDaysLeft,
  formatInterval,
  formatMoment,
  formatShortDay,
} from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { findingWord, SIDE_WORD } from '../../words.ts';
import { CauseLines, Causes } from './causes.tsx';
import { OverdueMark } from './overdueMark.tsx';
import { hopInWords, leadingFinding, pointTitle } from './placing.ts';
import { TroubleList } from './troubleList.tsx';

interface FindingListProps {
  view: SiteView;
  onOpen: () => void;
}

/** What the engine concluded: causes first, then what they explain, what is too small to act on, and what is over. */
export function FindingList({ view, onOpen }: FindingListProps) {
  const open = view.findings.filter((finding) => finding.closedAt === null);
  const causes = open.filter(({ explainedBy, withinFloor }) => explainedBy === null && !withinFloor);
  const explained = open.filter(({ explainedBy, withinFloor }) => explainedBy !== null && !withinFloor);
  const small = open.filter(({ withinFloor }) => withinFloor);
  const closed = view.findings.filter((finding) => finding.closedAt !== null);
  const leading = leadingFinding(view);
  return (
    <section class="panel findings" aria-labelledby="findings-title">
      <h2 id="findings-title">Findings</h2>
      {open.length + view.troubles.length === 0 && <p class="quiet">Nothing is open at this site.</p>}
      <TroubleList view={view} />
      <ul>
        {causes.map((finding) => (
          <Finding
            key={keyOf(finding)}
            view={view}
            finding={finding}
            onOpen={onOpen}
            isLeading={finding === leading}
          />
        ))}
      </ul>
      {explained.length > 0 && (
        <>
          <h3>Explained by a change further up</h3>
          <ul>
            {explained.map((finding) => (
              <ShortFinding key={keyOf(finding)} view={view} finding={finding} onOpen={onOpen} />
            ))}
          </ul>
        </>
      )}
      {small.length > 0 && (
        <>
          <h3>Within 0.5 dB, too small to act on</h3>
          <ul>
            {small.map((finding) => (
              <ShortFinding key={keyOf(finding)} view={view} finding={finding} onOpen={onOpen} />
            ))}
          </ul>
        </>
      )}
      {closed.length > 0 && (
        <details>
          <summary>Over, last 90 days ({closed.length})</summary>
          <ul>
            {closed.map((finding) => (
              <ShortFinding key={keyOf(finding)} view={view} finding={finding} onOpen={onOpen} />
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

const keyOf = (finding: FindingView) =>
  `${finding.pointId} ${finding.kind} ${finding.metric} ${finding.detectedAt}`;

interface FindingProps extends FindingListProps {
  finding: FindingView;
}

function Finding({ view, finding, onOpen, isLeading }: FindingProps & { isLeading: boolean }) {
  const { timeZone } = view.site;
  const unitless = finding.metric === 'channels';
  return (
    <li class="finding">
      <p>
        <strong class="finding-kind">{findingWord(finding.kind, finding.metric)}.</strong> {finding.sentence}
      </p>
      <dl class="finding-facts">
        <dt>Where</dt>
        <dd>
          {SIDE_WORD[finding.side]} side, {hopInWords(view, finding.hop)}. Seen at{' '}
          <PointLink view={view} finding={finding} onOpen={onOpen} />.
        </dd>
        <dt>Since</dt>
        <dd>
          {formatMoment(finding.onsetAt, timeZone)} <span class="quiet">({between(finding, timeZone)})</span>
        </dd>
        {!unitless && (
          <>
            <dt>Size</dt>
            <dd>{formatInterval(finding.sizeDb, finding.sizeLowDb, finding.sizeHighDb, 'dB')}</dd>
          </>
        )}
        {finding.slopeDbPerDay !== null && (
          <>
            <dt>Rate</dt>
            <dd>
              {formatInterval(
                finding.slopeDbPerDay,
                finding.slopeLowDbPerDay ?? finding.slopeDbPerDay,
                finding.slopeHighDbPerDay ?? finding.slopeDbPerDay,
                'dB a day',
                2,
              )}
            </dd>
          </>
        )}
        {finding.daysToLimit && (
          <>
            <dt>To limit</dt>
            <dd>
              {formatDaysLeft(finding.daysToLimit.p50)}{' '}
              <span class="quiet">
                ({Math.max(0, Math.round(finding.daysToLimit.p10))} to {Math.round(finding.daysToLimit.p90)})
                {finding.limitName && ` until: ${finding.limitName}`}
              </span>
            </dd>
          </>
        )}
        {finding.overdueInstrument && (
          <>
            <dt>Instrument</dt>
            <dd>
              <OverdueMark {...finding.overdueInstrument} timeZone={timeZone} />
            </dd>
          </>
        )}
        {!isLeading && finding.causes.length > 0 && (
          <>
            <dt>Cause</dt>
            <dd>
              <CauseLines causes={finding.causes} />
            </dd>
          </>
        )}
      </dl>
      {isLeading && <Causes causes={finding.causes} />}
    </li>
  );
}

/** "between 3 Nov and 5 Nov", or by the hour when both lie within one day. */
function between({ onsetLowAt, onsetHighAt }: FindingView, timeZone: string): string {
  const [lowDay, highDay] = [formatShortDay(onsetLowAt, timeZone), formatShortDay(onsetHighAt, timeZone)];
  if (lowDay !== highDay) return `between ${lowDay} and ${highDay}`;
  return `between ${formatClock(onsetLowAt, timeZone)} and ${formatClock(onsetHighAt, timeZone)}`;
}

function ShortFinding({ view, finding, onOpen }: FindingProps) {
  const { timeZone } = view.site;
  return (
    <li class="finding">
      <p>
        <strong>{findingWord(finding.kind, finding.metric)}</strong> at{' '}
        <PointLink view={view} finding={finding} onOpen={onOpen} />. {finding.sentence}{' '}
        <span class="quiet">
          {formatDay(finding.onsetAt, timeZone)}
          {finding.closedAt && ` to ${formatDay(finding.closedAt, timeZone)}`}
        </span>
      </p>
    </li>
  );
}

function PointLink({ view, finding, onOpen }: FindingProps) {
  const point = view.points.find((candidate) => candidate.pointId === finding.pointId);
  return (
    <Link href={`/sites/${view.site.siteId}/points/${finding.pointId}`} onFollow={onOpen}>
      {point ? pointTitle(point) : finding.pointName}
    </Link>
  );
}
