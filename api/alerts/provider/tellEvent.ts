import { median } from '../../../ingest/signal/median.ts';
import { adviceOn } from '../../diagnosis/causes/advice.ts';
import { count, listed, size } from '../../diagnosis/words.ts';
import type { Seen } from '../moveAlert.ts';
import { leastTimeLeft, severityOf } from '../severity.ts';
import type { Member } from './clusters.ts';

/** The provider of an event and its sites by name. */
export interface EventPlace {
  readonly provider: string;
  readonly siteNames: ReadonlyMap<number, string>;
}

const AT_HANDOFF = {
  endsAt: 'handoff',
  startsAt: null,
  isHandoff: true,
  hopNote: '',
  correctsItself: false,
  ambientKnown: false,
  otherSites: 0,
} as const;

/**
 * What the one alert of a provider's event says. No time of day stands in it: its sites may lie in several zones.
 *
 * @param joined sites that have shown it so far
 */
export function tellEvent(members: readonly Member[], joined: number, place: EventPlace): Seen {
  const first = members.reduce((a, b) => (b.onsetMs < a.onsetMs ? b : a));
  const outlets = members.reduce((total, member) => total + member.outlets, 0);
  const isSilence = first.kind === null;
  const advice = adviceOn('provider-feed', AT_HANDOFF);
  const names = members.map(({ siteId }) => place.siteNames.get(siteId) ?? `site ${siteId}`).toSorted();
  return {
    causeKey: first.likeness,
    hopTo: null,
    severity: severityOf(leastTimeLeft(members.map(({ timeLeft }) => timeLeft)), outlets),
    side: isSilence ? null : 'provider',
    onsetMs: first.onsetMs,
    onsetLowMs: Math.min(...members.map(({ onsetLowMs }) => onsetLowMs)),
    onsetHighMs: Math.max(...members.map(({ onsetHighMs }) => onsetHighMs)),
    limitDays: limitDays(members),
    outlets,
    sites: joined,
    priority: members.reduce((total, { outletDays }) => total + outletDays, 0),
    title: `${place.provider}: ${what(members)} ${count(joined, 'site')} within hours`,
    sentence: `Shown by ${listed(names, 6)}; ${count(Math.round(outlets), 'outlet')} behind them.`,
    cause: isSilence ? 'What the boxes of these sites report through' : advice.title,
    doFirst: isSilence
      ? 'Ask the provider whether its network is up there; so many boxes seldom fail at once.'
      : 'Report it to the provider as one event, with the then and now of a handoff; send nobody into the buildings for it.',
  };
}

function what(members: readonly Member[]): string {
  const [{ kind, metric, sizeDb }] = members as [Member];
  const middle = median(members.map((member) => member.sizeDb)) ?? 0;
  const by = `${size(middle)} dB`;
  const moved = (sizeDb ?? 0) < 0 ? 'fell' : 'rose';
  const subject = { level: 'level', tilt: 'tilt', flatness: 'flatness', mer: 'MER', channels: 'channels' }[
    metric ?? 'channels'
  ];
  switch (kind) {
    case null:
      return 'no sweeps from';
    case 'outage':
      return 'no signal at the handoff of';
    case 'channel-lost':
      return 'channels lost at the handoff of';
    case 'step':
    case 'drift':
      return `${subject} ${moved} by about ${by} at the handoff of`;
    case 'channel-shift':
      return `channels ${moved} by about ${by} against the others at the handoff of`;
    case 'dips':
      return `${subject} dips of about ${by} at the handoff of`;
    default:
      return `the same ${kind} of about ${by} at the handoff of`;
  }
}

function limitDays(members: readonly Member[]): Seen['limitDays'] {
  const least = leastTimeLeft(members.map(({ timeLeft }) => timeLeft));
  return least === 'lost' || least === 'part-lost' ? { p10: 0, p50: 0, p90: 0 } : null;
}
