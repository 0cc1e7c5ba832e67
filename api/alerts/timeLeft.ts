import { daysLeft } from '../diagnosis/findingSentence.ts';
import { ASSUMPTIONS } from '../risk/assumptions.ts';
import type { NamedMargin, PointFacts } from '../risk/siteFacts.ts';
import type { Finding } from '../trend/types.ts';
import type { TimeLeft } from './severity.ts';

/**
 * How long service holds at a point that shows `finding`. It is lost with the signal, or once the finding has moved a fifth of the
 * channels past a service limit, as {@link ASSUMPTIONS} says of a whole service; with fewer it is lost in part. Else its forecast says.
 */
export function timeLeft(finding: Finding, point: PointFacts | undefined, nowMs: number): TimeLeft {
  if (finding.kind === 'outage') return 'lost';
  const outside = point === undefined ? 0 : shareOutside(finding, point);
  if (outside >= ASSUMPTIONS.wholeServiceShare) return 'lost';
  if (outside > 0 || finding.kind === 'channel-lost') return 'part-lost';
  return daysLeft(finding, { nowMs, latestMs: point?.lastAtMs ?? nowMs })?.p50 ?? 'no-limit';
}

/** Share of the channels that lie outside in a way that the finding can have brought about. */
function shareOutside(finding: Finding, { channels }: PointFacts): number {
  if (channels.length === 0 || finding.kind === 'dips') return 0;
  const outside = channels.filter((channel) =>
    finding.kind === 'channel-lost' ? channel.lost : !channel.lost && channel.margins.some(isBroken(finding)),
  );
  return outside.length / channels.length;
}

function isBroken({ metric, sizeDb }: Finding): (margin: NamedMargin) => boolean {
  return ({ quantity, bound, marginDb }) => {
    if (marginDb >= 0) return false;
    if (metric === 'channels') return true;
    if (metric === 'mer') return quantity !== 'level';
    return quantity === 'level' && (metric !== 'level' || bound === (sizeDb < 0 ? 'min' : 'max'));
  };
}
