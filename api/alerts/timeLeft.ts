import { daysLeft } from '../diagnosis/findingSentence.ts';
import type { PointFacts } from '../risk/siteFacts.ts';
import type { Finding } from '../trend/types.ts';
import type { TimeLeft } from './severity.ts';

/**
 * How long service holds at a point that shows `finding`: lost with the signal, or once a service limit is passed in the way that the
 * finding moves it; in part with single channels; else as its forecast says.
 */
export function timeLeft(finding: Finding, point: PointFacts | undefined, nowMs: number): TimeLeft {
  if (finding.kind === 'outage') return 'lost';
  if (finding.kind === 'channel-lost') return 'part-lost';
  if (point !== undefined && isOutside(finding, point)) return 'lost';
  return daysLeft(finding, { nowMs, latestMs: point?.lastAtMs ?? nowMs })?.p50 ?? 'no-limit';
}

function isOutside({ kind, metric, sizeDb }: Finding, point: PointFacts): boolean {
  if (kind === 'dips') return false;
  return point.channels.some(
    ({ lost, margins }) =>
      !lost &&
      margins.some(({ quantity, bound, marginDb }) => {
        if (marginDb >= 0) return false;
        if (metric === 'channels') return true;
        if (metric === 'mer') return quantity !== 'level';
        return quantity === 'level' && (metric !== 'level' || bound === (sizeDb < 0 ? 'min' : 'max'));
      }),
  );
}
