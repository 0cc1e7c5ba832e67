import { count, listed, signed } from '../../diagnosis/words.ts';
import { momentWithZone } from '../moments.ts';
import type { ChannelReading, PointReadings, ReportData } from '../reportData.ts';
import type { Block } from './block.ts';
import { leadingFindings } from './leadingFindings.ts';

/** What a report comes to, in a few plain sentences about one point. */
export function pointSummary(report: ReportData, readings: PointReadings): string[] {
  const { now, channels } = readings;
  const baseline = report.baselines.find(({ pointId }) => pointId === readings.pointId)?.baseline ?? null;
  if (now === null)
    return ['No sweep came in within the period: nothing can be said of how the signal is now.'];

  const zone = report.setUp.timeZone;
  return [
    besideBaseline('Level at mid band', now.levelDbmv, baseline?.levelDbmv ?? null, 'dBmV'),
    besideBaseline('Tilt', now.tiltDb, baseline?.tiltDb ?? null, 'dB'),
    ...outsideWords(channels),
    ...largestChange(channels),
    `“Now” is the medians of ${count(now.sweeps, 'sweep')}, ${momentWithZone(now.from, zone)} to ${momentWithZone(now.to, zone)}.`,
  ];
}

/** "Tilt: 1.2 dB now, 0.9 dB at the baseline, change +0.3 dB." */
function besideBaseline(what: string, now: number | null, before: number | null, unit: string): string {
  if (now === null) return `${what}: not known now; too few channels were measured.`;
  if (before === null) return `${what}: ${signed(now)} ${unit} now; there is no baseline to hold it against.`;
  return `${what}: ${signed(now)} ${unit} now, ${signed(before)} ${unit} at the baseline, change ${plus(now - before)} dB.`;
}

/** The opening section. */
export function summarySection(report: ReportData): Block[] {
  const [first] = report.readings;
  const leading = leadingFindings(report);
  const open = leading.filter(({ finding }) => finding.closedAt === null);
  const found =
    leading.length === 0
      ? 'No change that calls for action was found within the period.'
      : `Findings in the period: ${leading.length}; open at its end: ${open.length}.`;
  const where = report.readings.length > 1 ? [{ block: 'text', text: 'At the handoff:' } as const] : [];
  return [
    { block: 'heading', level: 2, text: 'In short' },
    ...where,
    { block: 'list', items: [...(first ? pointSummary(report, first) : []), found] },
  ];
}

function outsideWords(channels: readonly ChannelReading[]): string[] {
  const level = channels.filter(({ levelMarginDb }) => levelMarginDb !== null && levelMarginDb < 0);
  const mer = channels.filter(({ merMarginDb }) => merMarginDb !== null && merMarginDb < 0);
  const lost = channels.filter((channel) => channel.lost);
  const measured = channels.filter(({ nowLevelDbmv, lost }) => nowLevelDbmv !== null && !lost);
  const names = (some: readonly ChannelReading[]) =>
    listed(
      some.map(({ channel, freqMhz }) => channel ?? `${freqMhz} MHz`),
      6,
    );
  return [
    `${count(measured.length, 'channel')} measured. ${
      level.length === 0
        ? 'None lies outside a level limit.'
        : `Outside a level limit: ${level.length} (${names(level)}).`
    } ${mer.length === 0 ? 'None lies below its MER or CNR limit.' : `Below their MER or CNR limit: ${mer.length} (${names(mer)}).`}`,
    ...(lost.length === 0 ? [] : [`Not found, or far below the rest: ${lost.length} (${names(lost)}).`]),
  ];
}

function largestChange(channels: readonly ChannelReading[]): string[] {
  const changed = channels.filter(({ deviationDb, lost }) => deviationDb !== null && !lost);
  const largest = changed.toSorted((a, b) => Math.abs(b.deviationDb!) - Math.abs(a.deviationDb!))[0];
  if (largest === undefined) return [];
  const name = largest.channel === null ? '' : `channel ${largest.channel}, `;
  return [
    `Largest change of one channel since the baseline: ${plus(largest.deviationDb!)} dB (${name}${largest.freqMhz} MHz).`,
  ];
}

/** A change with its sign. */
export function plus(value: number, digits = 1): string {
  const text = signed(value, digits);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}
