import { count, every, listed } from '../../diagnosis/words.ts';
import { NOW_HOURS } from '../gather/pointReadings.ts';
import type { ReportData } from '../reportData.ts';
import type { Block } from './block.ts';

/** How the figures came about, then what they leave open. */
export function methodSection(report: ReportData): Block[] {
  return [
    { block: 'heading', level: 2, text: 'How the figures were made' },
    {
      block: 'list',
      items: [
        `“Then” is the accepted baseline: the median of each channel over the sweeps of its window.`,
        `“Now” is the median of each channel over the sweeps of the last ${NOW_HOURS} hours with readings in the period; where something changed within them, only those after the change.`,
        'Level and tilt come from a line fitted through all channels of the plan by a method that single channels can’t pull aside; level is that of the line at mid band, tilt its rise from the lowest to the highest channel.',
        'The history shows medians of whole hours, or of several where the period is long; its MER margin is that of the worst channel.',
        'A margin is the distance to the nearer limit; negative is outside. Changes and margins are worked out before rounding.',
        `Times are those of ${report.setUp.timeZone}. Levels are dBmV at 75 Ω.`,
      ],
    },
    { block: 'heading', level: 2, text: 'What is not known' },
    { block: 'list', items: openQuestions(report) },
  ];
}

/** Changes read by one instrument don't depend on its accuracy; whether a level lies within its limits does. */
function accuracyWords({ instruments }: ReportData): string[] {
  const unknown = instruments.filter(({ calibration }) => !calibration || calibration.uncertaintyDb === null);
  if (unknown.length === 0) return [];
  const names = [...new Set(unknown.map(({ instrument }) => instrument))];
  return [
    `How far readings of ${listed(names, 6)} may be off is not on record. Changes read by one instrument don’t depend on it; whether a level lies within its limits does.`,
  ];
}

function openQuestions(report: ReportData): string[] {
  const titles = new Map(report.setUp.points.map(({ pointId, title }) => [pointId, title]));
  const at = (pointId: number) => (report.setUp.points.length === 1 ? '' : `${titles.get(pointId)}: `);
  const perPoint = report.history.flatMap(({ pointId, sweeps, sweepsDue }) => {
    const point = report.setUp.points.find((each) => each.pointId === pointId)!;
    const readings = report.readings.find((each) => each.pointId === pointId)!;
    const baseline = report.baselines.find((each) => each.pointId === pointId)?.baseline ?? null;
    const otherInstruments = (readings.now?.instruments ?? []).filter(
      (name) => baseline !== null && !baseline.instruments.includes(name),
    );
    return [
      ...(sweeps < 0.95 * sweepsDue
        ? [
            `${at(pointId)}${sweeps} of about ${sweepsDue} sweeps due (${every(point.intervalS)}) came in; what happened in the gaps is not known.`,
          ]
        : []),
      ...(otherInstruments.length > 0
        ? [
            `${at(pointId)}the baseline was read by ${listed(baseline!.instruments)}, now by ${listed(otherInstruments)}; a difference between the two would show as a change.`,
          ]
        : []),
      ...(readings.notLookedFor.length > 0
        ? [
            `${at(pointId)}${count(readings.notLookedFor.length, 'channel')} of the plan not looked for (${listed(readings.notLookedFor, 8)}).`,
          ]
        : []),
      ...(baseline === null ? [`${at(pointId)}without a baseline, no change can be told.`] : []),
      ...(baseline !== null && baseline.ambientC === null
        ? [
            `${at(pointId)}no temperature was measured with the baseline, so its part in a change is not known.`,
          ]
        : []),
    ];
  });
  const unsure = report.agreed.some(({ limits }) => limits.some(({ sureness }) => sureness === 'after'));
  return [
    ...accuracyWords(report),
    ...perPoint,
    ...(unsure
      ? ['Limits marked “to be confirmed” were not checked against the current text of their source.']
      : []),
    'Sizes and dates of findings that are still open move a little as further sweeps come in.',
  ];
}
