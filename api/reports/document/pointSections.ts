import { bandDrawing } from '../drawing/bandDrawing.ts';
import { historyDrawing } from '../drawing/historyDrawing.ts';
import { dayWithYear } from '../moments.ts';
import type { PointHistory, PointReadings, ReportData } from '../reportData.ts';
import type { Block } from './block.ts';
import { leadingFindings } from './leadingFindings.ts';

/** The drawing of then and now at a point; a sentence where there is nothing to draw. */
export function bandBlocks(report: ReportData, readings: PointReadings): Block[] {
  if (readings.channels.length === 0) {
    return [{ block: 'text', text: 'There are neither readings nor a baseline to draw.' }];
  }
  const zone = report.setUp.timeZone;
  const baseline = baselineOf(report, readings.pointId);
  const then =
    baseline === null
      ? 'no baseline'
      : `baseline version ${baseline.version}, ${dayWithYear(baseline.toAt, zone)}`;
  const now = readings.now === null ? 'no reading now' : `now, ${dayWithYear(readings.now.to, zone)}`;
  return [
    {
      block: 'drawing',
      drawing: bandDrawing(readings, titleOf(report, readings.pointId)),
      caption: `Hollow grey: ${then}. Filled: ${now}. Short dashes: limits (those far from the readings are not drawn). Ringed: outside a limit. Cross: not found.`,
    },
  ];
}

/** The drawing of a point's history. */
export function historyBlocks(report: ReportData, history: PointHistory): Block[] {
  if (history.times.length === 0) return [{ block: 'text', text: 'The period holds no hour with readings.' }];
  const { timeZone } = report.setUp;
  const findings = leadingFindings(report).flatMap(({ number }) =>
    report.findings
      .filter(({ event, pointId }) => pointId === history.pointId && event === eventOf(report, number))
      .map((finding) => ({ number, finding })),
  );
  const steps = history.stepHours === 1 ? 'hours' : `${history.stepHours} hours`;
  return [
    {
      block: 'drawing',
      drawing: historyDrawing({
        history,
        findings,
        baseline: baselineOf(report, history.pointId),
        from: report.from,
        to: report.to,
        timeZone,
        title: titleOf(report, history.pointId),
      }),
      caption: `Medians of ${steps}; ${history.sweeps} sweeps counted. Long dashes: baseline. Short dashes: limit. F1, F2 …: onset of a finding, its interval shaded. Triangle: a value beyond the scale. Days begin at midnight, ${timeZone}.`,
    },
  ];
}

function eventOf(report: ReportData, number: number): number | undefined {
  return leadingFindings(report).find((each) => each.number === number)?.finding.event;
}

function baselineOf(report: ReportData, pointId: number) {
  return report.baselines.find((each) => each.pointId === pointId)?.baseline ?? null;
}

function titleOf(report: ReportData, pointId: number): string {
  return report.setUp.points.find((each) => each.pointId === pointId)?.title ?? 'the point';
}
