import { useMemo } from 'preact/hooks';
import { formatMhz } from '../format.ts';
import { describeStrip, STRIP_RANGE_DB, type Strip, stripPaths } from './stripShape.ts';

interface BandStripProps {
  shown: Strip;
  lowMhz: number;
  highMhz: number;
}

/** Change from baseline across the band: above the line higher, below it lower, a cross where a channel is lost. */
export function BandStrip({ shown, lowMhz, highMhz }: BandStripProps) {
  const paths = useMemo(() => stripPaths(shown), [shown]);
  return (
    <figure class="strip">
      <svg
        role="img"
        aria-label={describeStrip(shown, lowMhz, highMhz)}
        viewBox={`0 0 ${Math.max(1, shown.strip.length)} ${2 * STRIP_RANGE_DB}`}
        preserveAspectRatio="none"
      >
        <path class="strip-near" d={paths.near} />
        <path class="strip-below" d={paths.below} />
        <path class="strip-above" d={paths.above} />
        <path class="strip-cut" d={paths.cut} />
        <path class="strip-axis" d={paths.axis} />
        <path class="strip-lost-halo" d={paths.lost} />
        <path class="strip-lost" d={paths.lost} />
      </svg>
      <figcaption aria-hidden="true">
        <span>{formatMhz(lowMhz)}</span>
        <span>{formatMhz(highMhz)} MHz</span>
      </figcaption>
    </figure>
  );
}
