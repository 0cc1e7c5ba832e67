import { signed } from '../../diagnosis/words.ts';
import { KIND_WORD } from '../../tradeWords.ts';
import type { PointReadings, ReportData } from '../reportData.ts';
import type { Block, TableRow } from './block.ts';
import { findingsSection } from './findingsSection.ts';
import { instrumentsSection } from './instrumentsSection.ts';
import { limitsBlocks } from './limitsSection.ts';
import { methodSection } from './methodSection.ts';
import { bandBlocks, historyBlocks } from './pointSections.ts';
import { readingsTable } from './readingsSection.ts';
import { plus, pointSummary, summarySection } from './summary.ts';

/** For the owner: every point from the handoff down, with drawings of those where something is found or outside. */
export function buildingBlocks(report: ReportData): Block[] {
  const shown = report.readings.filter((readings) => isRemarkable(report, readings));
  return [
    ...summarySection(report),
    { block: 'heading', level: 2, text: 'All points, from the handoff down' },
    pointsTable(report),
    ...findingsSection(report),
    ...shown.flatMap((readings) => pointBlocks(report, readings)),
    ...agreedBlocks(report),
    ...instrumentsSection(report),
    ...methodSection(report),
    {
      block: 'text',
      text: 'Readings of every channel at every point, with their limits, are in the CSV file of this report.',
    },
  ];
}

function isRemarkable(report: ReportData, { pointId, channels }: PointReadings): boolean {
  const isHandoff = report.setUp.points.find((point) => point.pointId === pointId)?.kind === 'handoff';
  return (
    isHandoff ||
    report.findings.some(
      (finding) => finding.pointId === pointId && finding.explainedBy === null && !finding.withinFloor,
    ) ||
    outside(channels).length > 0
  );
}

function outside(channels: PointReadings['channels']): PointReadings['channels'] {
  return channels.filter(
    ({ lost, levelMarginDb, merMarginDb }) => lost || (levelMarginDb ?? 0) < 0 || (merMarginDb ?? 0) < 0,
  );
}

function pointsTable(report: ReportData): Block {
  return {
    block: 'table',
    caption: 'Every point: then, now and what is outside',
    columns: [
      { title: 'Point', align: 'left', share: 24 },
      { title: 'Kind', align: 'left', share: 13 },
      { title: 'Fed by', align: 'left', share: 19 },
      { title: 'Level then, dBmV', align: 'right', share: 12 },
      { title: 'Level now, dBmV', align: 'right', share: 12 },
      { title: 'Change, dB', align: 'right', share: 10 },
      { title: 'Tilt now, dB', align: 'right', share: 9 },
      { title: 'Least MER margin, dB', align: 'right', share: 12 },
      { title: 'Channels outside', align: 'right', share: 11 },
    ],
    rows: report.setUp.points.map((point): TableRow => {
      const readings = report.readings.find(({ pointId }) => pointId === point.pointId)!;
      const baseline = report.baselines.find(({ pointId }) => pointId === point.pointId)?.baseline;
      const now = readings.now?.levelDbmv ?? null;
      const margins = readings.channels.map(({ merMarginDb }) => merMarginDb).filter((db) => db !== null);
      const count = outside(readings.channels).length;
      return {
        marked: count > 0,
        cells: [
          point.title,
          KIND_WORD[point.kind],
          point.fedBy ?? 'the provider',
          cell(baseline?.levelDbmv ?? null),
          cell(now),
          now === null || !baseline ? '–' : plus(now - baseline.levelDbmv),
          cell(readings.now?.tiltDb ?? null),
          cell(margins.length === 0 ? null : Math.min(...margins)),
          readings.now === null ? 'no reading' : String(count),
        ],
      };
    }),
  };
}

function pointBlocks(report: ReportData, readings: PointReadings): Block[] {
  const { title } = report.setUp.points.find(({ pointId }) => pointId === readings.pointId)!;
  const history = report.history.find(({ pointId }) => pointId === readings.pointId)!;
  const missed = outside(readings.channels);
  return [
    { block: 'heading', level: 2, text: title, newPage: true },
    { block: 'list', items: pointSummary(report, readings) },
    ...bandBlocks(report, readings),
    ...historyBlocks(report, history),
    ...(missed.length === 0
      ? []
      : [readingsTable(missed, `Channels outside a limit or not found: ${title}`)]),
  ];
}

/** Points that are held to the same limits are named together. */
function agreedBlocks(report: ReportData): Block[] {
  const titles = new Map(report.setUp.points.map(({ pointId, title }) => [pointId, title]));
  const alike = Map.groupBy(report.agreed, ({ pointId: _id, ...agreed }) => JSON.stringify(agreed));
  return [
    { block: 'heading', level: 2, text: 'Limits it is held against', newPage: true },
    ...[...alike.values()].flatMap((same): Block[] => [
      { block: 'heading', level: 3, text: same.map(({ pointId }) => titles.get(pointId)).join(', ') },
      ...limitsBlocks(same[0]!),
    ]),
  ];
}

function cell(value: number | null): string {
  return value === null ? '–' : signed(value);
}
