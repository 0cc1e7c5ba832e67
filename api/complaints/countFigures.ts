import { median } from '../../ingest/signal/median.ts';
import type { ComplaintFigures, Share } from '../schemas/complaints.ts';
import type { Judgement } from './judgeComplaint.ts';
import { wilsonInterval } from './wilsonInterval.ts';

const HOUR_MS = 3_600_000;

/** Months are of the site's zone, "2026-03". */
export interface JudgedInMonth {
  readonly month: string;
  readonly judgement: Judgement;
}

/** An alert that somebody looked into, by the month of the newest result. */
export interface AlertLookedInto {
  readonly month: string;
  readonly nothingFound: boolean;
}

type Figures = Omit<ComplaintFigures, 'months'>;

/** The measure that the product lives by, in all and by month, newest first. */
export function countFigures(
  complaints: readonly JudgedInMonth[],
  alerts: readonly AlertLookedInto[],
): ComplaintFigures {
  const months = [...new Set([...complaints, ...alerts].map(({ month }) => month))].toSorted().toReversed();
  return {
    ...figuresOf(complaints, alerts),
    months: months.map((month) => ({
      month,
      ...figuresOf(
        complaints.filter((each) => each.month === month),
        alerts.filter((each) => each.month === month),
      ),
    })),
  };
}

function figuresOf(complaints: readonly JudgedInMonth[], alerts: readonly AlertLookedInto[]): Figures {
  const judgements = complaints.map(({ judgement }) => judgement);
  const warned = judgements.filter((judgement) => judgement.verdict === 'warned');
  const byAlert = warned.filter(({ by }) => by.source === 'alert');
  const leadHours = median(warned.map(({ leadMs }) => leadMs / HOUR_MS));
  return {
    complaints: complaints.length,
    warned: shareOf(warned.length, complaints.length),
    byAlert: shareOf(byAlert.length, complaints.length),
    belowNotice: judgements.filter(({ verdict }) => verdict === 'below-notice').length,
    notSeen: judgements.filter(({ verdict }) => verdict === 'not-seen').length,
    medianLeadHours: leadHours,
    nothingFound: shareOf(alerts.filter(({ nothingFound }) => nothingFound).length, alerts.length),
  };
}

function shareOf(hits: number, of: number): Share {
  const interval = wilsonInterval(hits, of);
  return {
    hits,
    of,
    share: of === 0 ? null : hits / of,
    low: interval?.low ?? null,
    high: interval?.high ?? null,
  };
}
