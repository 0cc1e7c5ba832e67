import type { OneAlertView } from '../../../api/schemas/alerts.ts';
import type { FindingView } from '../../../api/schemas/common.ts';
import { formatMoment } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { findingWord } from '../../words.ts';
import { CauseLines, Causes } from '../site/causes.tsx';

/** The findings that an alert tells of, causes first. */
export function AlertFindings({ alert }: { alert: OneAlertView }) {
  const leading = alert.findings.filter(({ explainedBy }) => explainedBy === null);
  const following = alert.findings.filter(({ explainedBy }) => explainedBy !== null);
  return (
    <section class="panel findings" aria-labelledby="alert-findings">
      <h2 id="alert-findings">Findings</h2>
      {alert.findings.length === 0 && (
        <p class="quiet">
          {alert.severity === 'indeterminate' && alert.side === null
            ? 'Sweeps that don’t come as they should are no finding. The site page shows what was read last.'
            : 'The findings are no longer kept, or the engine has withdrawn them after sweeps that came in late.'}
        </p>
      )}
      <ul>
        {[...leading, ...following].map((finding, i) => (
          <Finding
            key={`${finding.event} ${finding.pointId}`}
            alert={alert}
            finding={finding}
            isFirst={i === 0}
          />
        ))}
      </ul>
    </section>
  );
}

interface FindingProps {
  alert: OneAlertView;
  finding: FindingView;
  isFirst: boolean;
}

function Finding({ alert, finding, isFirst }: FindingProps) {
  return (
    <li class="finding">
      <p>
        <strong class={finding.closedAt === null ? 'finding-kind' : ''}>
          {findingWord(finding.kind, finding.metric)}
        </strong>{' '}
        at <Link href={`/sites/${alert.siteId}/points/${finding.pointId}`}>{finding.pointName}</Link>.{' '}
        {finding.sentence}{' '}
        {finding.closedAt !== null && (
          <span class="quiet">Over since {formatMoment(finding.closedAt, alert.timeZone)}.</span>
        )}
      </p>
      {isFirst ? (
        <Causes causes={finding.causes} />
      ) : (
        finding.causes.length > 0 && <CauseLines causes={finding.causes} />
      )}
    </li>
  );
}
