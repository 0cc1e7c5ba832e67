import { useMemo } from 'preact/hooks';
import { useMedia } from '../useMedia.ts';
import { type ChartTheme, readTheme } from './theme.ts';

/** The chart colours, new when the reader's colour scheme changes. */
export function useTheme(): ChartTheme {
  const dark = useMedia('(prefers-color-scheme: dark)');
  const print = useMedia('print');
  // The style sheet answers differently for each.
  return useMemo(readTheme, [dark, print]);
}
