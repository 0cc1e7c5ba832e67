import type { Finding } from '../../trend/types.ts';
import { count, size } from '../words.ts';
import type { CauseId, CausePlace } from './cause.ts';
import type { HopContents } from './hopContents.ts';
import { rateOf } from './rates.ts';
import { readEvidence } from './readEvidence.ts';
import { matchingPassive, sdOf } from './splitterSteps.ts';
import { whatShows } from './whatShows.ts';

type Reason = (finding: Finding, place: CausePlace, hop: HopContents) => readonly string[];

/** What speaks for `cause`: what shows, why it fits, and what the set-up says of the hop. */
export function evidenceFor(
  cause: CauseId,
  finding: Finding,
  hop: HopContents,
  place: CausePlace,
): readonly string[] {
  const reasons = REASONS[cause]?.(finding, place, hop) ?? [];
  return [...whatShows(finding), ...reasons, ...fromSetUp(cause, place)];
}

const REASONS: Readonly<Partial<Record<CauseId, Reason>>> = {
  'passive-changed': splitterReason,
  'passive-failing': () => ['No gear that could lose gain is known in this hop.'],
  'cable-changed': () => ['It came at once, so it was done rather than grown.'],
  'cable-temperature': (_finding, { ambientKnown }) => [
    'Cable loses about 0.2 % more for each °C (after a maker’s note).',
    ambientKnown
      ? 'The temperature measured here should have explained it already.'
      : 'No temperature is measured here, so its effect can’t be taken out.',
  ],
  'water-in-cable': ({ kind }) => (kind === 'drift' ? ['It grows day by day, as when water creeps in.'] : []),
  'corroded-contact': () => [
    'A poor contact acts as a small capacitor in series: low channels suffer first.',
  ],
  'loose-connector': ({ kind }) =>
    kind === 'dips' ? ['It comes back by itself each time, as a contact does that moves.'] : [],
  'open-line': (_finding, place, hop) =>
    rateOf('power-off', hop, place) < rateOf('open-line', hop, place)
      ? ['No gear that needs power is known in this hop.']
      : [],
  'cable-echo': echoReason,
  'amplifier-gain': gearReason,
  'amplifier-adjusted': gearReason,
  'amplifier-noise': gearReason,
  'amplifier-dead': gearReason,
  'hidden-loss': (_finding, { startsAt }) => [
    'Gear here corrects its own output, so a loss ahead of it costs MER before it shows in level.',
    startsAt === 'gear-input'
      ? 'Against it: the gear’s input is a test point of its own.'
      : 'No test point watches the gear’s input.',
  ],
  'power-off': ({ closedMs }, place) => [
    ...gearReason(null, place),
    ...(closedMs === null ? [] : ['The signal came back by itself, as after a power cut.']),
  ],
  modulator: sharedReason,
  'channel-blocked': () => ['A trap or a filter takes some channels and leaves the others.'],
  'provider-feed': (finding, place) => ['It shows at the handoff already.', ...sharedReason(finding, place)],
  instrument: ({ kind }) =>
    kind === 'instrument-change'
      ? ['It came with another instrument, and what no meter can change stayed as it was.']
      : [],
  'not-sure': () => ['No single cause fits all of this well.'],
};

function splitterReason(
  { kind, metric, sizeDb, sizeLowDb, sizeHighDb }: Finding,
  _place: CausePlace,
  hop: HopContents,
): string[] {
  if (kind !== 'step' || metric !== 'level') return [];
  const match = matchingPassive(sizeDb, sdOf(sizeLowDb, sizeHighDb));
  const reasons = [
    match === null
      ? `${size(sizeDb)} dB matches no splitter by itself; a pad, or one passive in another’s place, can make it.`
      : `${size(sizeDb)} dB is about what ${match.what} takes (${match.lowDb.toFixed(1)} to ${match.highDb.toFixed(1)} dB; common practice, no source).`,
  ];
  return hop.splitterWays === null
    ? reasons
    : [...reasons, `A ${hop.splitterWays}-way splitter is known in this hop.`];
}

function echoReason(finding: Finding): string[] {
  const { delayNs, distanceM, ambiguousDelay } = readEvidence(finding);
  if (delayNs === null) return [];
  const late = `The echo comes ${delayNs.toFixed(0)} ns late`;
  const apart =
    distanceM === null ? '' : `: the two places that reflect lie about ${distanceM.toFixed(1)} m apart`;
  const doubt = ambiguousDelay
    ? ['The spacing of the channels allows for other delays too, so measure the distance again.']
    : [];
  return [`${late}${apart}.`, ...doubt];
}

function gearReason(_finding: Finding | null, { correctsItself, endsAt }: CausePlace): string[] {
  if (correctsItself) return ['Gear that corrects itself stands in this hop.'];
  if (endsAt === 'gear-output') return ['Distribution gear stands in this hop.'];
  return endsAt === 'amplifier' ? ['The hop ends at an amplifier.'] : [];
}

function sharedReason(_finding: Finding, { isHandoff, otherSites }: CausePlace): string[] {
  if (!isHandoff || otherSites === 0) return [];
  return [`${count(otherSites, 'other site')} of the same provider changed in the same way within hours.`];
}

function fromSetUp(cause: CauseId, { hopNote, isHandoff }: CausePlace): string[] {
  const note = hopNote.trim();
  return note === '' || isHandoff || cause === 'instrument'
    ? []
    : [`The set-up says of this hop: “${note}”.`];
}
