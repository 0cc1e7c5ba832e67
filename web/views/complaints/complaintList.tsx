import type { ComplaintVerdict, ComplaintView } from '../../../api/schemas/complaints.ts';
import { del } from '../../client.ts';
import { formatMhz, formatMoment } from '../../format.ts';
import { ConfirmButton } from '../../parts/confirmButton.tsx';
import { Link } from '../../parts/link.tsx';
import { Failure } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { useMay } from '../../session.ts';
import { useSubmit } from '../../useSubmit.ts';
import { COMPLAINT_VERDICT_WORD, judgementSentence } from './judgementWords.ts';
import { SYMPTOM_WORD } from './symptomWords.ts';

interface ComplaintListProps {
  complaints: readonly ComplaintView[];
  onChanged: () => void;
}

/** Newest first: what they saw, where, and what was known before. */
export function ComplaintList({ complaints, onChanged }: ComplaintListProps) {
  const removal = useSubmit();
  const mayChange = useMay('technician');
  const takeBack = ({ siteId, complaintId }: ComplaintView) =>
    removal.run(() => del(paths.siteComplaint(siteId, complaintId)).then(onChanged));
  return (
    <>
      {removal.error && <Failure error={removal.error} />}
      <ul class="complaints">
        {complaints.map((complaint) => (
          <li key={complaint.complaintId} class="panel complaint">
            <What complaint={complaint} />
            <Known complaint={complaint} />
            {mayChange && (
              <p class="no-print">
                <ConfirmButton
                  does="Take back"
                  question="Logged by mistake? It leaves the list and the figures."
                  onConfirm={() => takeBack(complaint)}
                />
              </p>
            )}
          </li>
        ))}
      </ul>
    </>
  );
}

function What({ complaint }: { complaint: ComplaintView }) {
  const { siteId, siteName, town, timeZone, seenAt, symptom, outlet, pointName, note, loggedBy } = complaint;
  const place = [outlet, pointName && `at test point ${pointName}`].filter(Boolean).join(', ');
  return (
    <div>
      <h3>{SYMPTOM_WORD[symptom]}</h3>
      <p>
        <Link href={`/sites/${siteId}`}>{siteName}</Link>
        {town && `, ${town}`}
        {place && `; ${place}`}
      </p>
      <Channel complaint={complaint} />
      {note && <p>“{note}”</p>}
      <p class="quiet">
        {formatMoment(seenAt, timeZone)}; logged by {loggedBy}
      </p>
    </div>
  );
}

function Channel({ complaint }: { complaint: ComplaintView }) {
  const { viewerChannel, rfChannel, rfMhz } = complaint;
  if (viewerChannel === '' && rfChannel === null) return null;
  return (
    <p>
      {viewerChannel && `Viewer’s channel ${viewerChannel}`}
      {rfChannel === null
        ? ', RF channel not known'
        : `${viewerChannel ? ', ' : ''}RF channel ${rfChannel}${rfMhz === null ? '' : ` at ${formatMhz(rfMhz)} MHz`}`}
    </p>
  );
}

function Known({ complaint: { judgement, timeZone, siteId } }: { complaint: ComplaintView }) {
  return (
    <div class="judgement">
      <p class={judgement.verdict === 'warned' ? 'quiet' : 'abnormal'}>
        <VerdictSign verdict={judgement.verdict} /> {COMPLAINT_VERDICT_WORD[judgement.verdict]}
      </p>
      <p>{judgementSentence(judgement, timeZone)}</p>
      {judgement.by?.source === 'finding' && (
        <p>
          <Link href={`/sites/${siteId}`}>Findings of the site</Link>
        </p>
      )}
    </div>
  );
}

/** A form of its own for each, so that colour is never the only sign. */
function VerdictSign({ verdict }: { verdict: ComplaintVerdict }) {
  return (
    <span aria-hidden="true">{verdict === 'warned' ? '✓' : verdict === 'below-notice' ? '◇' : '◆'}</span>
  );
}
