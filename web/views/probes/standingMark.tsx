import type { ProbeStanding } from '../../../api/schemas/probes.ts';
import { STANDING_MEANS, STANDING_WORD } from './probeWords.ts';

const SIGN: Readonly<Record<ProbeStanding, string>> = {
  failing: '◆',
  late: '◇',
  unread: '○',
  sound: '●',
  paused: '‖',
};

/** How a probe stands: a sign and a word. */
export function StandingMark({ standing }: { standing: ProbeStanding }) {
  return (
    <span class={`standing standing-${standing}`} title={STANDING_MEANS[standing]}>
      <span aria-hidden="true">{SIGN[standing]}</span> {STANDING_WORD[standing]}
    </span>
  );
}
