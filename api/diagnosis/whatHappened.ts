import type { BandShape, Metric } from '../trend/types.ts';
import { readEvidence } from './causes/readEvidence.ts';
import type { Hop, PlacedFinding } from './placedFinding.ts';
import { count, dayIn, listed, momentIn, signed, size, sizeRange } from './words.ts';

const METRIC_WORDS: Readonly<Record<Metric, string>> = {
  level: 'Level',
  tilt: 'Tilt',
  flatness: 'Peak-to-valley about the line',
  mer: 'MER or CNR',
};

const SHAPE_WORDS: Readonly<Record<BandShape, string>> = {
  flat: '',
  cable: ', most at the high end,',
  'low-end': ', most at the low end,',
};

/** IANA zone of the site, and now: a year is named where it isn't this one. */
export interface Calendar {
  readonly timeZone: string;
  readonly nowMs: number;
}

/** What changed, how fast, since when and where, in clauses. */
export function whatHappened(placed: PlacedFinding, { timeZone, nowMs }: Calendar): string[] {
  const { finding } = placed;
  const where = whereOf(placed);
  const moment = momentIn(timeZone, finding.onsetMs, nowMs);
  const day = dayIn(timeZone, finding.onsetMs, nowMs);
  const bySize = `${size(finding.sizeDb)} dB`;
  const range = `(${sizeRange(finding.sizeLowDb, finding.sizeHighDb)})`;
  const shape = finding.shape === null ? '' : SHAPE_WORDS[finding.shape];
  const evidence = readEvidence(finding);

  switch (finding.kind) {
    case 'outage':
      return [`No signal since ${moment} ${where}`];
    case 'channel-lost':
      return [`${channelWords(evidence.channels, 'Channel')} lost since ${moment} ${where}`];
    case 'channel-shift': {
      const channels = channelWords(evidence.channels, finding.metric === 'mer' ? 'channel' : 'Channel');
      const what = finding.metric === 'mer' ? `MER of ${channels}` : channels;
      return [`${what} ${moved(finding.sizeDb)} ${bySize} against the others ${range} on ${moment} ${where}`];
    }
    case 'drift': {
      const slope = finding.slopeDbPerDay ?? 0;
      const pace = `${slope < 0 ? 'falling' : 'rising'} ${size(slope, 2)} dB a day`;
      const soFar = `${bySize} ${finding.sizeDb < 0 ? 'lower' : 'higher'} so far ${range}`;
      return [`${metricWords(finding.metric)} ${pace}${shape} since ${day} ${where}`, soFar];
    }
    case 'step':
      return [
        `${metricWords(finding.metric)} ${moved(finding.sizeDb)} ${bySize} ${range}${shape} on ${moment} ${where}`,
      ];
    case 'dips': {
      const often = evidence.times === null ? 'time and again' : count(evidence.times, 'time');
      return [`${metricWords(finding.metric)} dips of ${bySize} ${range}, ${often} since ${day} ${where}`];
    }
    case 'notch': {
      const at = evidence.freqMhz === null ? '' : ` at ${evidence.freqMhz.toFixed(0)} MHz`;
      return [`Notch${at}, ${bySize} deep ${range}${growth(placed)} since ${day} ${where}`];
    }
    case 'ripple': {
      const { distanceM, ambiguousDelay } = evidence;
      const echo = distanceM === null ? [] : [`an echo from about ${metres(distanceM)} away`];
      return [
        `Ripple of ${bySize} peak to valley ${range} since ${moment} ${where}`,
        ...echo.map((clause) => (ambiguousDelay ? `${clause}, if not from further` : clause)),
      ];
    }
    case 'instrument-change': {
      const reads = `reads ${bySize} ${finding.sizeDb < 0 ? 'lower' : 'higher'} ${range}`;
      if (evidence.calibratedMs !== null) {
        const calibrated = momentIn(timeZone, evidence.calibratedMs, nowMs);
        return [
          `${metricWords(finding.metric)} ${reads} at ${placed.pointTitle} since ${evidence.instrument ?? 'its instrument'} was calibrated on ${calibrated}`,
          'a change of meter, not of the plant',
        ];
      }
      return [
        `${metricWords(finding.metric)} ${reads} since another instrument took over at ${placed.pointTitle} on ${moment}`,
        'a change of meter, not of the plant',
      ];
    }
  }
}

function moved(sizeDb: number): string {
  return sizeDb < 0 ? 'fell' : 'rose';
}

function metricWords(metric: Metric | 'channels'): string {
  return metric === 'channels' ? 'Channels' : METRIC_WORDS[metric];
}

function channelWords(channels: readonly string[], noun: string): string {
  if (channels.length === 0) return `Some ${noun.toLowerCase()}s`;
  return `${noun}${channels.length === 1 ? '' : 's'} ${listed(channels)}`;
}

function growth({ finding: { sizeDb, slopeDbPerDay } }: PlacedFinding): string {
  if (slopeDbPerDay === null) return '';
  const grows = Math.sign(slopeDbPerDay) === Math.sign(sizeDb);
  return `, ${grows ? 'growing' : 'shrinking'} ${size(slopeDbPerDay, 2)} dB a day`;
}

function metres(distanceM: number): string {
  return `${signed(distanceM, distanceM < 10 ? 1 : 0)} m`;
}

function whereOf({ finding, pointTitle, hop, alsoPossible, causeTitle }: PlacedFinding): string {
  if (causeTitle !== null) return `at ${pointTitle}, explained by the same change at ${causeTitle}`;
  if (finding.side === 'provider') return `at ${hop.to}, on the provider’s side`;
  const notSure = finding.side === 'unsure' ? ', side not sure' : '';
  if (alsoPossible.length === 0 && notSure !== '') return `at ${hop.to}${notSure}`;
  return `${[hop, ...alsoPossible].map(hopWords).join(' or ')}${notSure}`;
}

function hopWords({ from, to }: Hop): string {
  return from === null ? `before ${to}` : `between ${from} and ${to}`;
}
