import { useMemo, useRef, useState } from 'preact/hooks';
import type uPlot from 'uplot';
import type { HistoryView } from '../../../api/schemas/site.ts';
import { Chart } from '../../charts/chart.tsx';
import { HISTORY_LABEL, type HistoryMetric, historyColumn, withGaps } from '../../charts/historyColumns.ts';
import type { MarkedEvent, MarkedFinding } from '../../charts/historyDraw.ts';
import { historyOptions } from '../../charts/historyOptions.ts';
import { useTheme } from '../../charts/useTheme.ts';
import { formatDay, formatMoment, formatWithUnit, zoneName } from '../../format.ts';
import { findingWord } from '../../words.ts';
import { Walkable } from './walkable.tsx';

const METRICS: readonly HistoryMetric[] = ['level', 'tilt', 'mer', 'ambient'];
const UNIT: Readonly<Record<HistoryMetric, string>> = { level: 'dBmV', tilt: 'dB', mer: 'dB', ambient: '°C' };
const NAME: Readonly<Record<HistoryMetric, string>> = {
  level: 'level',
  tilt: 'tilt',
  mer: 'MER margin',
  ambient: 'air',
};

interface HistoryPictureProps {
  history: HistoryView;
  timeZone: string;
}

/** The charts one above the other on the same time axis, and the key to their marks. */
export function HistoryPicture({ history, timeZone }: HistoryPictureProps) {
  const theme = useTheme();
  const plot = useRef<uPlot>(null);
  const [index, setIndex] = useState<number | null>(null);
  const metrics = useMemo(
    () => METRICS.filter((metric) => historyColumn(history, metric).some((value) => value !== null)),
    [history],
  );
  const filled = useMemo(
    () =>
      withGaps(
        history.times,
        metrics.map((metric) => historyColumn(history, metric)),
      ),
    [history, metrics],
  );
  const marks = useMemo(() => marksOf(history), [history]);
  const charts = useMemo(() => {
    const span = [history.times[0]!, history.times.at(-1)!] as const;
    const zoneWord = zoneName(new Date(span[1] * 1000).toISOString(), timeZone);
    return metrics.map((metric, i) => ({
      metric,
      data: [filled.times, [...filled.columns[i]!]] as uPlot.AlignedData,
      options: historyOptions({
        history,
        metric,
        timeZone,
        zoneWord,
        span,
        theme,
        first: i === 0,
        last: i === metrics.length - 1,
        onIndex: setIndex,
        ...marks,
      }),
    }));
  }, [history, metrics, filled, marks, timeZone, theme]);

  return (
    <>
      <Walkable
        name="Time under the cursor"
        plot={plot}
        count={filled.times.length}
        index={index}
        stride={24}
        readout={readoutAt(index) ?? 'Point at the charts, or use the arrow keys, to read values.'}
      >
        {charts.map(({ metric, options, data }, i) => (
          <Chart
            key={metric}
            options={options}
            data={data}
            label={`${HISTORY_LABEL[metric]}, over time`}
            plot={i === 0 ? plot : undefined}
          />
        ))}
      </Walkable>
      <MarkKey
        findings={marks.findings}
        events={marks.events}
        windows={history.maintenance}
        timeZone={timeZone}
      />
      <p class="quiet small-print">
        {history.resolution === 'hour' ? 'Each value is the median of one hour.' : 'Each value is one sweep.'}{' '}
        Dashed: the baseline in force. Shaded: outside limits. A break in a line: nothing came in. A triangle
        at an edge: a single value beyond it.
      </p>
    </>
  );

  function readoutAt(at: number | null): string | null {
    const time = at === null ? undefined : filled.times[at];
    if (time === undefined) return null;
    const values = metrics.map(
      (metric, i) => `${NAME[metric]} ${formatWithUnit(filled.columns[i]![at!] ?? null, UNIT[metric])}`,
    );
    return [formatMoment(new Date(time * 1000).toISOString(), timeZone), ...values].join(' · ');
  }
}

function marksOf(history: HistoryView): { findings: MarkedFinding[]; events: MarkedEvent[] } {
  const fromMs = history.times[0]! * 1000;
  const seen = history.findings.filter(
    (finding) => finding.closedAt === null || Date.parse(finding.closedAt) >= fromMs,
  );
  const events = history.events
    .filter((event) => Date.parse(event.at) >= fromMs)
    .sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
  return {
    findings: seen.map((finding, i) => ({ mark: String(i + 1), finding })),
    events: events.map((event, i) => ({ mark: letter(i), event })),
  };
}

/** A, B, … Z, AA, AB … */
function letter(index: number): string {
  const last = String.fromCharCode(65 + (index % 26));
  return index < 26 ? last : letter(Math.floor(index / 26) - 1) + last;
}

interface MarkKeyProps {
  findings: readonly MarkedFinding[];
  events: readonly MarkedEvent[];
  windows: HistoryView['maintenance'];
  timeZone: string;
}

function MarkKey({ findings, events, windows, timeZone }: MarkKeyProps) {
  if (findings.length + events.length + windows.length === 0) return null;
  return (
    <ul class="mark-key">
      {findings.map(({ mark, finding }) => (
        <li key={mark}>
          <span class="mark mark-finding">{mark}</span>
          <span>
            {findingWord(finding.kind, finding.metric)} from {formatDay(finding.onsetAt, timeZone)}
            {finding.closedAt ? ` to ${formatDay(finding.closedAt, timeZone)}` : ', still there'}
          </span>
        </li>
      ))}
      {events.map(({ mark, event }) => (
        <li key={mark}>
          <span class="mark">{mark}</span>
          <span>
            {formatDay(event.at, timeZone)}: {event.text}
          </span>
        </li>
      ))}
      {windows.map(({ fromAt, toAt, reason }) => (
        <li key={fromAt}>
          <span class="mark mark-maintenance" aria-hidden="true" />
          <span>
            Hatched: maintenance, {formatMoment(fromAt, timeZone)} to {formatMoment(toAt, timeZone)}: {reason}
            . Kept and not judged.
          </span>
        </li>
      ))}
    </ul>
  );
}
