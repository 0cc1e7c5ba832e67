import { useMemo, useRef, useState } from 'preact/hooks';
import type uPlot from 'uplot';
import type { BandView } from '../../../api/schemas/site.ts';
import { bandColumns, outsideLimits } from '../../charts/bandColumns.ts';
import { bandDeviationOptions, bandLevelOptions } from '../../charts/bandOptions.ts';
import { Chart } from '../../charts/chart.tsx';
import { useTheme } from '../../charts/useTheme.ts';
import { formatChange } from '../../format.ts';
import { channelReadout } from './channelReadout.ts';
import { leftPlan } from './leftPlan.ts';
import { Walkable } from './walkable.tsx';

/** Levels then and now, and the change below, sharing one cursor. */
export function BandPicture({ band, timeZone }: { band: BandView; timeZone: string }) {
  const theme = useTheme();
  const plot = useRef<uPlot>(null);
  const [index, setIndex] = useState<number | null>(null);
  const columns = useMemo(() => bandColumns(band.channels), [band]);
  const level = useMemo(() => bandLevelOptions(band, columns, theme, setIndex), [band, columns, theme]);
  const deviation = useMemo(() => bandDeviationOptions(columns, theme), [columns, theme]);
  const levelData = useMemo(
    (): uPlot.AlignedData => [[...columns.freqMhz], [...columns.thenDbmv], [...columns.nowDbmv]],
    [columns],
  );
  const deviationData = useMemo(
    (): uPlot.AlignedData => [[...columns.freqMhz], [...columns.deviationDb]],
    [columns],
  );

  const chosen = index === null ? null : (columns.channels[index] ?? null);
  return (
    <>
      <BandLegend band={band} timeZone={timeZone} />
      <Walkable
        name="Channel under the cursor"
        plot={plot}
        count={columns.channels.length}
        index={index}
        readout={
          chosen
            ? channelReadout(chosen, timeZone)
            : 'Point at a channel, or use the arrow keys, to read its values.'
        }
      >
        <Chart options={level} data={levelData} plot={plot} label={describeBand(band)} />
        <Chart
          options={deviation}
          data={deviationData}
          label="Change against baseline across frequency, dB"
        />
      </Walkable>
    </>
  );
}

function BandLegend({ band, timeZone }: { band: BandView; timeZone: string }) {
  const lost = band.channels.filter((channel) => channel.lost).length;
  const outside = band.channels.filter(outsideLimits).length;
  const unplanned = band.channels.filter(
    (channel) => channel.standing === 'outside-plan' && channel.nowLevelDbmv !== null,
  ).length;
  const left = Map.groupBy(
    band.channels.filter(({ standing }) => standing === 'left-plan'),
    (channel) => leftPlan(channel, timeZone),
  );
  const tilt = (line: BandView['nowLine']) => (line ? `, line tilts ${formatChange(line.tiltDb)} dB` : '');
  return (
    <ul class="legend">
      <li>
        <svg class="key key-now" viewBox="0 0 28 12" aria-hidden="true">
          <path d="M1 6H27" />
          <circle cx="14" cy="6" r="3" />
        </svg>
        Now{tilt(band.nowLine)}
      </li>
      {band.baseline && (
        <li>
          <svg class="key key-then" viewBox="0 0 28 12" aria-hidden="true">
            <path class="dashed" d="M1 6H27" />
            <path d="M9 6H19M14 1V11" />
          </svg>
          Then with its spread{tilt(band.thenLine)}
        </li>
      )}
      <li>
        <svg class="key key-limit" viewBox="0 0 28 12" aria-hidden="true">
          <rect x="1" y="5" width="26" height="7" />
          <path d="M1 5H27" />
        </svg>
        Outside the limits of its channel
      </li>
      {outside > 0 && (
        <li class="abnormal">
          <svg class="key key-outside" viewBox="0 0 28 12" aria-hidden="true">
            <path d="M14 1L19 6L14 11L9 6Z" />
          </svg>
          {outside} outside
        </li>
      )}
      {lost > 0 && (
        <li class="abnormal">
          <svg class="key key-lost" viewBox="0 0 28 12" aria-hidden="true">
            <path d="M10 2L18 10M10 10L18 2" />
          </svg>
          {lost} lost
        </li>
      )}
      {[...left].map(([words, channels]) => (
        <li key={words}>
          <svg class="key key-then" viewBox="0 0 28 12" aria-hidden="true">
            <path class="dotted" d="M5 6H23" />
          </svg>
          {channels.length} {words}
        </li>
      ))}
      {unplanned > 0 && (
        <li>
          <svg class="key key-now" viewBox="0 0 28 12" aria-hidden="true">
            <circle class="hollow" cx="14" cy="6" r="4" />
          </svg>
          {unplanned} outside the plan
        </li>
      )}
    </ul>
  );
}

function describeBand(band: BandView): string {
  const lost = band.channels.filter((channel) => channel.lost).map((channel) => channel.channel);
  const lines = [
    band.thenLine && `then tilt ${formatChange(band.thenLine.tiltDb)} dB`,
    band.nowLine && `now tilt ${formatChange(band.nowLine.tiltDb)} dB`,
    lost.length > 0 && `lost: RF ${lost.join(', ')}`,
  ].filter(Boolean);
  return `Level in dBmV of ${band.channels.length} channels across frequency; ${lines.join('; ')}. The table below holds the values.`;
}
