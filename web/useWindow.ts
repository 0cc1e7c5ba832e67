import type { RefObject } from 'preact';
import { useEffect, useState } from 'preact/hooks';

export interface RowWindow {
  readonly first: number;
  /** Exclusive. */
  readonly end: number;
}

/** Rows of a list of `count` that a viewport sees, with `spare` more on either side. Lengths in px. */
export function rowsInView(
  listTop: number,
  viewHeight: number,
  rowHeight: number,
  count: number,
  spare: number,
): RowWindow {
  const first = Math.max(0, Math.floor(-listTop / rowHeight) - spare);
  const end = Math.min(count, Math.ceil((viewHeight - listTop) / rowHeight) + spare);
  return first < end ? { first, end } : { first: Math.min(first, count), end: Math.min(first, count) };
}

const SPARE_ROWS = 6;
const PRINTED_ROWS = 60;

/** The rows to render while the page scrolls; on paper the first sixty. */
export function useWindow(list: RefObject<HTMLElement | null>, count: number, rowHeight: number): RowWindow {
  const [rows, setRows] = useState<RowWindow>({ first: 0, end: Math.min(count, 20) });

  useEffect(() => {
    const print = matchMedia('print');
    let frame = 0;
    const measure = () => {
      frame = 0;
      const top = list.current?.getBoundingClientRect().top ?? 0;
      const next = print.matches
        ? { first: 0, end: Math.min(count, PRINTED_ROWS) }
        : rowsInView(top, innerHeight, rowHeight, count, SPARE_ROWS);
      setRows((old) => (old.first === next.first && old.end === next.end ? old : next));
    };
    const schedule = () => {
      if (frame === 0) frame = requestAnimationFrame(measure);
    };
    measure();
    addEventListener('scroll', schedule, { passive: true });
    addEventListener('resize', schedule);
    print.addEventListener('change', measure);
    return () => {
      cancelAnimationFrame(frame);
      removeEventListener('scroll', schedule);
      removeEventListener('resize', schedule);
      print.removeEventListener('change', measure);
    };
  }, [list, count, rowHeight]);

  return rows;
}
