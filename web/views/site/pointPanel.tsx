import type { BandView, PointView, SiteView } from '../../../api/schemas/site.ts';
import { formatDay, formatMoment } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { useMay } from '../../session.ts';
import { useLoad } from '../../useLoad.ts';
import { KIND_WORD } from '../../words.ts';
import { BandPicture } from './bandPicture.tsx';
import { BreachList } from './breachList.tsx';
import { ChannelTable } from './channelTable.tsx';
import { HistorySection } from './historySection.tsx';
import { OverdueMark } from './overdueMark.tsx';
import { pointTitle } from './placing.ts';

const REFRESH_MS = 60_000;

/** The evidence at one point: across frequency, over time, and in figures. */
export function PointPanel({ view, point }: { view: SiteView; point: PointView }) {
  const {
    data: band,
    error,
    reload,
  } = useLoad<BandView>(paths.band(view.site.siteId, point.pointId), REFRESH_MS);
  const { timeZone } = view.site;
  return (
    <article class="point" aria-labelledby="point-title">
      <header class="point-header">
        <h2 id="point-title" tabIndex={-1}>
          {pointTitle(point)}
        </h2>
        <p class="quiet">
          {KIND_WORD[point.kind]}, called <span class="mono">{point.name}</span> in sweeps. Held against:{' '}
          {point.limitSet.name} <span>({point.limitSet.source})</span>.
        </p>
        <ReadingLinks siteId={view.site.siteId} pointId={point.pointId} />
      </header>
      {error && <Failure error={error} onRetry={reload} />}
      {!band && !error && <Waiting what="then and now" />}
      {band && (
        <>
          <section class="panel" aria-labelledby="band-title">
            <h3 id="band-title">Then and now across frequency</h3>
            <Provenance band={band} timeZone={timeZone} siteId={view.site.siteId} />
            {band.channels.length > 0 && <BandPicture band={band} timeZone={timeZone} />}
          </section>
          {band.breaches.length > 0 && <BreachList breaches={band.breaches} title="Outside limits now" />}
        </>
      )}
      <HistorySection view={view} point={point} />
      {band && band.channels.length > 0 && (
        <ChannelTable
          band={band}
          timeZone={timeZone}
          fileName={`${view.site.name} ${point.name} channels.csv`}
        />
      )}
    </article>
  );
}

/** To readings that people type here, and to see them being typed. */
function ReadingLinks({ siteId, pointId }: { siteId: number; pointId: number }) {
  const mayType = useMay('technician');
  const place = `/sites/${siteId}/points/${pointId}/readings`;
  return (
    <p class="reading-links no-print">
      {mayType && (
        <Link href={`${place}/new`} class="button small">
          Type readings of a meter
        </Link>
      )}
      <Link href={`${place}/live`} class="button small plain">
        See them being typed
      </Link>
    </p>
  );
}

interface ProvenanceProps {
  band: BandView;
  timeZone: string;
  siteId: number;
}

/** Who measured what, when, and with which instrument. */
function Provenance({ band, timeZone, siteId }: ProvenanceProps) {
  const { now, baseline } = band;
  return (
    <p class="provenance">
      <span>
        <strong>Now:</strong> {now ? nowWords(now, timeZone) : 'no sweep yet.'}
        {now?.maintenance && ` Read in maintenance (${now.maintenance.reason}), so it is not judged.`}{' '}
        {now?.calibrationOverdueSince && (
          <>
            <OverdueMark name={now.instrument} since={now.calibrationOverdueSince} timeZone={timeZone} />.
          </>
        )}
      </span>{' '}
      {baseline ? (
        <span>
          <strong>Then:</strong> baseline {baseline.version}, medians of {baseline.sweeps} sweeps from{' '}
          {formatDay(baseline.fromAt, timeZone)} to {formatDay(baseline.toAt, timeZone)}, accepted by{' '}
          {baseline.acceptedBy}
          {baseline.exceptionNote && ` with the exception: “${baseline.exceptionNote}”`}.
        </span>
      ) : (
        <span>
          <strong>Then:</strong> no baseline accepted.{' '}
          <Link href={`/setup/sites/${siteId}/points/${band.pointId}/baseline`}>
            Choose a window and accept one
          </Link>
          .
        </span>
      )}
    </p>
  );
}

function nowWords({ at, instrument, medianOf }: NonNullable<BandView['now']>, timeZone: string): string {
  if (medianOf === null) return `${formatMoment(at, timeZone)}, instrument ${instrument}.`;
  return `medians of the ${medianOf} sweeps of ${formatDay(at, 'UTC')} (UTC), instrument ${instrument}.`;
}
