import type { Alert } from './alert.ts';
import { DAY_MS, type FleetSite } from './fleet.ts';
import type { Truth } from './plantedCase.ts';
import { firstShownMs, trueSizeDb } from './truths.ts';

/** How far an alert's figures lie from the truth, and whether its 80 % intervals hold it; null where there is none to hold. */
export interface AlertScore {
  readonly onsetErrorMs: number;
  readonly onsetInside: boolean;
  readonly sizeErrorDb: number | null;
  readonly sizeInside: boolean | null;
  readonly limitInside: boolean | null;
}

/** Scores an alert as it was told at `toldMs`; `crossingMs` is when a limit will really be crossed. */
export function scoreAlert(
  alert: Alert,
  toldMs: number,
  truth: Truth,
  site: FleetSite,
  crossingMs: number | null,
): AlertScore {
  const onsetMs = firstShownMs(truth, site);
  const sizeDb = trueSizeDb(alert, truth, site, toldMs);
  const days = alert.daysToLimit;
  const leftDays = crossingMs === null ? null : (crossingMs - toldMs) / DAY_MS;
  return {
    onsetErrorMs: alert.onsetMs - onsetMs,
    onsetInside: onsetMs >= alert.onsetLowMs && onsetMs <= alert.onsetHighMs,
    sizeErrorDb: sizeDb === null ? null : alert.sizeDb - sizeDb,
    sizeInside: sizeDb === null ? null : sizeDb >= alert.sizeLowDb && sizeDb <= alert.sizeHighDb,
    limitInside: days === null || leftDays === null ? null : leftDays >= days.p10 && leftDays <= days.p90,
  };
}
