import type { ComponentChildren, RefObject } from 'preact';
import type uPlot from 'uplot';

interface WalkableProps {
  name: string;
  plot: RefObject<uPlot | null>;
  count: number;
  index: number | null;
  readout: string;
  /** Columns that Page Up and Page Down pass over. */
  stride?: number;
  children: ComponentChildren;
}

/** Charts whose cursor moves by keyboard as well as by pointer, with what it stands on in words. */
export function Walkable({ name, plot, count, index, readout, stride = 10, children }: WalkableProps) {
  const walk = (event: KeyboardEvent) => {
    const next = walkTo(event.key, index, count, stride);
    const chart = plot.current;
    if (next === null || !chart) return;
    event.preventDefault();
    chart.setCursor({ left: chart.valToPos(chart.data[0]![next]!, 'x'), top: 1 });
  };
  return (
    <div class="walkable">
      <p class="readout" aria-live="off">
        {readout}
      </p>
      <div
        role="slider"
        tabIndex={0}
        aria-label={name}
        aria-valuemin={1}
        aria-valuemax={count}
        aria-valuenow={(index ?? 0) + 1}
        aria-valuetext={readout}
        onKeyDown={walk}
      >
        {children}
      </div>
    </div>
  );
}

/** Where a key takes the cursor: null when the key is not ours. */
export function walkTo(key: string, index: number | null, count: number, stride: number): number | null {
  const steps: Record<string, number> = {
    ArrowRight: 1,
    ArrowLeft: -1,
    PageDown: stride,
    PageUp: -stride,
    Home: Number.NEGATIVE_INFINITY,
    End: Number.POSITIVE_INFINITY,
  };
  const step = steps[key];
  if (step === undefined || count === 0) return null;
  const from = index ?? (step > 0 ? -1 : count);
  return Math.max(0, Math.min(count - 1, from + step));
}
