import { useMemo } from 'preact/hooks';
import { formatMhz } from '../format.ts';
import { describeStrip, STRIP_RANGE_DB, stripPaths } from './stripShape.ts';

interface BandStripProps {
  strip: readonly (number | null)[];
  lowMhz: number;
  highMhz: number;
}

/** Deviation from baseline across the band, above the line higher, below it lower. */
export function BandStrip({ strip, lowMhz, highMhz }: BandStripProps) {
  const paths = useMemo(() => stripPaths(strip), [strip]);
  return (
    <figure class="strip">
      <svg
        role="img"
        aria-label={describeStrip(strip, lowMhz, highMhz)}
        viewBox={`0 0 ${Math.max(1, strip.length)} ${2 * STRIP_RANGE_DB}`}
        preserveAspectRatio="none"
      >
        <path class="strip-near" d={paths.near} />
        <path class="strip-below" d={paths.below} />
        <path class="strip-above" d={paths.above} />
        <path class="strip-cut" d={paths.cut} />
        <path class="strip-axis" d={paths.axis} />
      </svg>
      <figcaption aria-hidden="true">
        <span>{formatMhz(lowMhz)}</span>
        <span>{formatMhz(highMhz)} MHz</span>
      </figcaption>
    </figure>
  );
}
