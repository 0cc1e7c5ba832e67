/** Colours that canvas drawing needs, as the style sheet defines them. */
export interface ChartTheme {
  readonly ink: string;
  readonly quiet: string;
  readonly rule: string;
  readonly edge: string;
  readonly sunken: string;
  readonly surface: string;
  readonly trace: string;
  readonly baseline: string;
  readonly near: string;
  readonly below: string;
  readonly belowSoft: string;
  readonly above: string;
  readonly font: string;
}

/** The theme of the page as it stands; read again when the colour scheme changes. */
export function readTheme(): ChartTheme {
  const style = getComputedStyle(document.documentElement);
  const colour = (name: string) => style.getPropertyValue(name).trim();
  return {
    ink: colour('--ink'),
    quiet: colour('--quiet'),
    rule: colour('--rule'),
    edge: colour('--edge'),
    sunken: colour('--sunken'),
    surface: colour('--surface'),
    trace: colour('--trace'),
    baseline: colour('--baseline'),
    near: colour('--near'),
    below: colour('--below'),
    belowSoft: colour('--below-soft'),
    above: colour('--above'),
    font: '12px system-ui, sans-serif',
  };
}
