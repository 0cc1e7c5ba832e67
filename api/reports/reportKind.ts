export const REPORT_KINDS = ['handoff', 'building', 'turnover'] as const;
/** `handoff`: for the provider. `building`: for the building's owner. `turnover`: what was accepted at a new site. */
export type ReportKind = (typeof REPORT_KINDS)[number];

export const REPORT_TITLE: Readonly<Record<ReportKind, string>> = {
  handoff: 'Signal at the handoff',
  building: 'Signal in the building',
  turnover: 'Turnover record',
};

/** What a report covers; `to` is its "now". Milliseconds since 1970-01-01 UTC, both ends included. */
export interface Period {
  readonly fromMs: number;
  readonly toMs: number;
}
