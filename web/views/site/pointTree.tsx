import type { PointView, SiteView } from '../../../api/schemas/site.ts';
import { formatChange, formatNumber } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { VerdictMark } from '../../parts/verdictMark.tsx';
import { KIND_WORD } from '../../words.ts';
import { OverdueMark } from './overdueMark.tsx';
import { judgeHandoff, pointTitle } from './placing.ts';

interface PointTreeProps {
  view: SiteView;
  openId: number | null;
  onOpen: () => void;
}

/** Test points from the handoff down, each with what it reads now and how far that is from its baseline. */
export function PointTree({ view, openId, onOpen }: PointTreeProps) {
  const handoff = judgeHandoff(view);
  return (
    <section class="panel" aria-labelledby="points-title">
      <h2 id="points-title">Points, from the handoff down</h2>
      <p class={`judged judged-${handoff.word}`}>
        <strong>Judged first.</strong> {handoff.sentence}
      </p>
      <ol class="tree">
        {view.points.map((point) => (
          <li key={point.pointId} style={{ '--depth': String(Math.min(point.depth, 8)) }}>
            {point.hopNote && <p class="hop">{point.hopNote}</p>}
            <div class={`tree-point ${point.pointId === openId ? 'is-open' : ''}`}>
              <span class="tree-name">
                <Link
                  href={`/sites/${view.site.siteId}/points/${point.pointId}`}
                  current={point.pointId === openId}
                  onFollow={onOpen}
                >
                  {pointTitle(point)}
                </Link>
                <VerdictMark verdict={point.verdict} />
              </span>
              <Readings point={point} timeZone={view.site.timeZone} />
            </div>
          </li>
        ))}
      </ol>
    </section>
  );
}

function Readings({ point, timeZone }: { point: PointView; timeZone: string }) {
  const { latest } = point;
  if (!latest) return <span class="quiet tree-readings">{KIND_WORD[point.kind]}. No sweep yet.</span>;
  return (
    <span class="tree-readings">
      <Reading name="Level" value={latest.levelDbmv} unit="dBmV" changeDb={latest.levelDevDb} />
      <Reading name="Tilt" value={latest.tiltDb} unit="dB" changeDb={latest.tiltDevDb} />
      <Reading name="MER margin" value={latest.worstMerMarginDb} unit="dB" changeDb={latest.merDevDb} />
      {latest.inMaintenance && <span class="quiet">in maintenance, not judged</span>}
      {latest.calibrationOverdueSince && (
        <OverdueMark name={latest.instrument} since={latest.calibrationOverdueSince} timeZone={timeZone} />
      )}
      {latest.lostChannels.length > 0 && (
        <span class="abnormal">
          <span aria-hidden="true">✕ </span>lost: RF {latest.lostChannels.join(', ')}
        </span>
      )}
      {latest.breaches.length > 0 && (
        <span class="abnormal">
          <span aria-hidden="true">◆ </span>
          {latest.breaches.length} outside limits
        </span>
      )}
    </span>
  );
}

const NOTABLE_DB = 0.5;

function Reading(props: { name: string; value: number | null; unit: string; changeDb: number | null }) {
  const { name, value, unit, changeDb } = props;
  const notable = changeDb !== null && Math.abs(changeDb) > NOTABLE_DB;
  return (
    <span>
      <span class="quiet">{name}</span> {formatNumber(value)} {unit}
      {changeDb !== null && (
        <span class={notable ? (changeDb < 0 ? 'abnormal' : 'abnormal-high') : 'quiet'}>
          {' '}
          ({formatChange(changeDb)})
        </span>
      )}
    </span>
  );
}
