import type { BandShape, Finding } from '../../trend/types.ts';
import { listed, signed, size } from '../words.ts';
import { type Evidence, readEvidence } from './readEvidence.ts';

const HELD_WITHIN_DB = 0.5;

/** What the sweeps show of a finding, in sentences with the numbers, whatever the cause. */
export function whatShows(finding: Finding): readonly string[] {
  const evidence = readEvidence(finding);
  switch (finding.kind) {
    case 'step':
    case 'drift':
      return [moved(finding), ...acrossBand(finding, evidence), ...held(finding, evidence)];
    case 'dips':
      return [dips(finding, evidence)];
    case 'notch':
      return [notch(finding, evidence)];
    case 'ripple':
      return [`A ripple of ${size(finding.sizeDb)} dB peak to valley runs across the band.`];
    case 'channel-shift':
      return [
        `${channelWords(evidence)} moved by ${signed(finding.sizeDb)} dB in ${metricWord(finding)} against the others.`,
      ];
    case 'channel-lost':
      return [`${channelWords(evidence)} ${missing(finding)}; the others stand as they did.`];
    case 'outage':
      return [`All channels together ${missing(finding)}.`];
    case 'instrument-change':
      return [
        `Readings are ${size(finding.sizeDb)} dB ${finding.sizeDb < 0 ? 'lower' : 'higher'} than with the instrument before.`,
      ];
  }
}

function missing({ closedMs }: Finding): string {
  return closedMs === null ? 'can’t be found any more' : 'couldn’t be found for a while';
}

function moved(finding: Finding): string {
  const what = capital(metricWord(finding));
  const way = finding.sizeDb < 0 ? 'fell' : 'rose';
  if (finding.kind === 'step') return `${what} ${way} by ${size(finding.sizeDb)} dB at once.`;
  const slope = finding.slopeDbPerDay;
  const pace = slope === null ? '' : `, at ${size(slope, 2)} dB a day`;
  return `${what} ${way} slowly, by ${size(finding.sizeDb)} dB so far${pace}.`;
}

const SHAPE_WORDS: Readonly<Record<BandShape, string>> = {
  flat: 'All channels moved alike',
  cable: 'The change grows with the square root of frequency, as cable loss does',
  'low-end': 'The lowest channels moved most, as behind a poor contact',
};

function acrossBand({ shape, metric }: Finding, { shapeOdds }: Evidence): string[] {
  if (shape === null || metric === 'mer') return [];
  const odds = shapeOdds === null ? '' : ` (${Math.round(100 * shapeOdds[shape])} in 100 by the fit)`;
  return [`${SHAPE_WORDS[shape]}${odds}.`];
}

/** Level beside a finding on MER, and the other way round, when it stood still. */
function held({ metric }: Finding, { features }: Evidence): string[] {
  const [other, word] = metric === 'mer' ? [features.level, 'Level'] : [features.mer, 'MER'];
  if (other === undefined || Math.abs(other.db) > HELD_WITHIN_DB) return [];
  return [`${word} held (${signed(other.db)} ±${other.errorDb.toFixed(1)} dB).`];
}

function dips({ sizeDb }: Finding, { times }: Evidence): string {
  const deep = `the middle one ${size(sizeDb)} dB deep`;
  return times === null
    ? `Level dips and comes back again, ${deep}.`
    : `Level dipped ${times === 1 ? 'once' : `${times} times`} and came back, ${deep}.`;
}

function notch({ sizeDb, slopeDbPerDay }: Finding, { freqMhz, widthMhz }: Evidence): string {
  const at = freqMhz === null ? '' : ` at ${freqMhz.toFixed(0)} MHz`;
  const wide = widthMhz === null ? '' : `, ${widthMhz.toFixed(0)} MHz wide`;
  const grows = slopeDbPerDay === null ? '' : `, growing ${size(slopeDbPerDay, 2)} dB a day`;
  return `A notch of ${size(sizeDb)} dB${at}${wide}${grows}.`;
}

function channelWords({ channels }: Evidence): string {
  if (channels.length === 0) return 'Some channels';
  return `${channels.length === 1 ? 'Channel' : 'Channels'} ${listed(channels)}`;
}

function metricWord({ metric }: Finding): string {
  switch (metric) {
    case 'mer':
      return 'MER';
    case 'flatness':
      return 'peak-to-valley';
    case 'channels':
      return 'level';
    default:
      return metric;
  }
}

function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}
