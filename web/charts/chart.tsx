import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import uPlot from 'uplot';
import type { SizedLater } from './bandOptions.ts';

interface ChartProps {
  options: SizedLater;
  data: uPlot.AlignedData;
  /** What the picture shows, for those who don't see it; the table beside it holds the values. */
  label: string;
  plot?: RefObject<uPlot | null> | undefined;
}

/** Puts a uPlot on the page as wide as its place, and takes it away again. */
export function Chart({ options, data, label, plot }: ChartProps) {
  const place = useRef<HTMLDivElement>(null);

  useEffect(() => {
    const element = place.current!;
    const chart = new uPlot({ ...options, width: element.clientWidth }, data, element);
    if (plot) plot.current = chart;
    const observer = new ResizeObserver(() => {
      if (element.clientWidth > 0 && element.clientWidth !== chart.width) {
        chart.setSize({ width: element.clientWidth, height: options.height });
      }
    });
    observer.observe(element);
    return () => {
      observer.disconnect();
      chart.destroy();
      if (plot) plot.current = null;
    };
  }, [options, data, plot]);

  return <div ref={place} class="chart" role="img" aria-label={label} />;
}
