import type { TypedDrafts } from '../../../api/schemas/typedReadings.ts';
import { formatAgo, formatMhz, formatMoment, formatNumber } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { Empty, Failure, Waiting } from '../../parts/notice.tsx';
import { ScrollRegion } from '../../parts/scrollRegion.tsx';
import { paths } from '../../paths.ts';
import { useMay } from '../../session.ts';
import { useLoad } from '../../useLoad.ts';
import { useTitle } from '../../useTitle.ts';
import { TypedMark, UNIT_WORD } from './typedWords.tsx';
import { VerdictSentences } from './verdictBar.tsx';

const REFRESH_MS = 2_000;
/** Nobody who reads a meter waits longer between two figures. */
const TYPING_MS = 90_000;

/** What somebody on site is typing, for somebody elsewhere who helps. */
export function LiveReadingsView({ siteId, pointId }: { siteId: number; pointId: number }) {
  const { data, error, reload } = useLoad<TypedDrafts>(paths.readingsDrafts(siteId, pointId), REFRESH_MS);
  const mayType = useMay('technician');
  const title = data === null ? `point ${pointId}` : data.point.label || data.point.name;
  useTitle(`Readings as they are typed, ${title}`);
  const form = `/sites/${siteId}/points/${pointId}/readings/new`;
  return (
    <main class="page readings" id="main">
      <header class="site-header">
        <nav class="crumbs" aria-label="You are here">
          <Link href="/">Fleet</Link> <span aria-hidden="true">/</span>{' '}
          <Link href={`/sites/${siteId}/points/${pointId}`}>{data?.site.name ?? `Site ${siteId}`}</Link>{' '}
          <span aria-hidden="true">/</span> Readings as they are typed
        </nav>
        <h1 tabIndex={-1}>Readings as they are typed: {title}</h1>
        <p class="quiet">This page looks for new figures every two seconds.</p>
      </header>
      {error && <Failure error={error} onRetry={reload} />}
      {!data && !error && <Waiting what="what is being typed" />}
      {data && data.drafts.length === 0 && (
        <Empty>
          <p>
            Nobody is typing readings at this point now. Ask whoever stands there to open{' '}
            {mayType ? <Link href={form}>the form for typed readings</Link> : 'the form for typed readings'}:
            the figures then appear here.
          </p>
        </Empty>
      )}
      {data?.drafts.map((draft) => (
        <DraftPanel key={draft.name} shown={draft} data={data} />
      ))}
    </main>
  );
}

type Shown = TypedDrafts['drafts'][number];

function DraftPanel({ shown, data }: { shown: Shown; data: TypedDrafts }) {
  const { draft, verdict, channels, name } = shown;
  const unit = UNIT_WORD[draft.levelUnit];
  const rows = draft.readings
    .map((reading, i) => ({ reading, channel: channels[i] ?? null, judged: verdict.readings[i]! }))
    .toSorted((a, b) => a.reading.freqMhz - b.reading.freqMhz);
  return (
    <section class="panel live" aria-label={`Readings typed by ${name}`}>
      <h2>{name}</h2>
      <p role="status">{standing(shown, data)}</p>
      <p class="quiet">
        Meter: {draft.instrument.trim() === '' ? 'not named yet' : draft.instrument}
        {draft.ambientC !== null && `, air ${formatNumber(draft.ambientC)} °C`}
      </p>
      <VerdictSentences verdict={verdict} />
      <ScrollRegion label={`Figures typed by ${name}`}>
        <table>
          <thead>
            <tr>
              <th scope="col">Channel</th>
              <th scope="col" class="figure">
                MHz
              </th>
              <th scope="col" class="figure">
                Level, {unit}
              </th>
              <th scope="col" class="figure">
                MER or CNR, dB
              </th>
              <th scope="col">Says</th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ reading, channel, judged }) => (
              <tr key={reading.freqMhz}>
                <th scope="row">{channel ?? 'outside the plan'}</th>
                <td class="figure">{formatMhz(reading.freqMhz)}</td>
                <td class="figure">{reading.lost ? 'not found' : formatNumber(reading.level)}</td>
                <td class="figure">{formatNumber(reading.merDb ?? reading.cnrDb)}</td>
                <td>
                  <TypedMark verdict={judged.verdict} />
                  {judged.hint !== '' && `: ${judged.hint}`}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollRegion>
    </section>
  );
}

function standing({ savedAt, updatedAt, startedAt }: Shown, { at, site }: TypedDrafts): string {
  if (savedAt !== null) return `Saved as a sweep at ${formatMoment(savedAt, site.timeZone)}.`;
  const sinceMs = Date.parse(at) - Date.parse(updatedAt);
  if (sinceMs < TYPING_MS) {
    return `Typing now: last figure ${seconds(sinceMs)}. Begun at ${formatMoment(startedAt, site.timeZone)}. Not saved yet.`;
  }
  return `Last figure ${formatAgo(updatedAt, Date.parse(at))}. Not saved.`;
}

function seconds(ms: number): string {
  const count = Math.max(0, Math.round(ms / 1000));
  return count < 2 ? 'just now' : `${count} s ago`;
}
