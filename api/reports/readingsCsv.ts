import { type CsvCell, csvLine } from '../csvLine.ts';
import { contentHash } from './contentHash.ts';
import type { ChannelReading, PointReadings, ReportData } from './reportData.ts';

const HEAD = [
  'point',
  'channel',
  'freq_mhz',
  'modulation',
  'standing',
  'lost',
  'baseline_version',
  'then_level_dbmv',
  'then_level_spread_db',
  'now_from',
  'now_to',
  'now_sweeps',
  'now_level_dbmv',
  'now_level_spread_db',
  'deviation_db',
  'level_min_dbmv',
  'level_max_dbmv',
  'level_margin_db',
  'then_mer_db',
  'now_mer_db',
  'mer_limit_db',
  'mer_margin_db',
  'report_sha256',
];

/**
 * Readings of every channel at every point of a report, a line each (RFC 4180). Times are ISO 8601 in UTC, figures have two
 * decimals and a point, an empty field is "not measured". `then` is the baseline, `now` the medians of the sweeps named.
 */
export function readingsCsv(report: ReportData): string {
  const hash = contentHash(report);
  const lines = report.readings.flatMap((readings) =>
    readings.channels.map((channel) => [...rowOf(report, readings, channel), hash]),
  );
  return [HEAD, ...lines].map(csvLine).join('');
}

function rowOf(report: ReportData, { pointId, now }: PointReadings, channel: ChannelReading): CsvCell[] {
  const point = report.setUp.points.find((each) => each.pointId === pointId);
  const baseline = report.baselines.find((each) => each.pointId === pointId)?.baseline;
  return [
    point?.name ?? null,
    channel.channel,
    String(channel.freqMhz),
    channel.modulation,
    channel.standing,
    channel.lost ? 'yes' : 'no',
    baseline ? String(baseline.version) : null,
    channel.thenLevelDbmv,
    channel.thenSpreadDb,
    now?.from ?? null,
    now?.to ?? null,
    now ? String(now.sweeps) : null,
    channel.nowLevelDbmv,
    channel.nowSpreadDb,
    channel.deviationDb,
    channel.levelMinDbmv,
    channel.levelMaxDbmv,
    channel.levelMarginDb,
    channel.thenMerDb,
    channel.nowMerDb,
    channel.merLimitDb,
    channel.merMarginDb,
  ];
}
