import type { RefObject } from 'preact';
import { useLayoutEffect, useRef } from 'preact/hooks';
import uPlot from 'uplot';
import type { SizedLater } from './bandOptions.ts';

/** Width to draw at for paper, CSS px: A4 and Letter within their margins; the style sheet fits it to the page. */
const PAPER_WIDTH = 680;

interface ChartProps {
  options: SizedLater;
  data: uPlot.AlignedData;
  /** What the picture shows, for those who don't see it; the table beside it holds the values. */
  label: string;
  plot?: RefObject<uPlot | null> | undefined;
}

/** Puts a uPlot on the page as wide as its place, or as paper, and takes it away again. */
export function Chart({ options, data, label, plot }: ChartProps) {
  const place = useRef<HTMLDivElement>(null);

  // Paper waits for layout effects only: a later one would draw after the page is printed.
  useLayoutEffect(() => {
    const element = place.current!;
    const paper = matchMedia('print');
    const width = () => (paper.matches ? PAPER_WIDTH : element.clientWidth);
    const chart = new uPlot({ ...options, width: width() }, data, element);
    if (plot) plot.current = chart;
    const fit = () => {
      if (width() > 0 && width() !== chart.width) chart.setSize({ width: width(), height: options.height });
    };
    const observer = new ResizeObserver(fit);
    observer.observe(element);
    paper.addEventListener('change', fit);
    return () => {
      observer.disconnect();
      paper.removeEventListener('change', fit);
      chart.destroy();
      if (plot) plot.current = null;
    };
  }, [options, data, plot]);

  return <div ref={place} class="chart" role="img" aria-label={label} />;
}
