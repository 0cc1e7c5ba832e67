import type { LimitChoiceView, LimitView } from '../../../../api/schemas/limits.ts';
import { formatMhz, formatNumber } from '../../../format.ts';
import { MODULATION_WORD, QUANTITY_WORD } from '../../../words.ts';

/** What a limit speaks of: "Level of a channel, 256-QAM". */
export function limitSubject(limit: Pick<LimitView, 'quantity' | 'modulation'>): string {
  const modulation = limit.modulation === null ? '' : `, ${MODULATION_WORD[limit.modulation]}`;
  return QUANTITY_WORD[limit.quantity] + modulation;
}

/** What a limit asks for: "14 to 26 dBmV, aim at 20". */
export function limitDemand(limit: LimitView): string {
  const { min, target, max, maxByTopMhz, unit } = limit;
  const range =
    min !== null && max !== null
      ? `${figure(min)} to ${figure(max)} ${unit}`
      : min !== null
        ? `at least ${figure(min)} ${unit}`
        : max !== null
          ? `at most ${figure(max)} ${unit}`
          : '';
  const steps = maxByTopMhz
    ?.map((step) => `${figure(step.max)} ${unit} up to ${formatMhz(step.upToMhz)} MHz`)
    .join(', ');
  const aim = target === null ? '' : `aim at ${figure(target)} ${unit}`;
  return [range, steps && `at most ${steps}`, aim].filter(Boolean).join('; ');
}

/** What a choice changed in its set: "Level of a channel, 256-QAM: at least −6 dBmV". */
export function changeWords(change: LimitChoiceView['changes'][number]): string {
  const unit = change.quantity === 'level' ? 'dBmV' : 'dB';
  const figures = [
    ['at least', change.min],
    ['aim at', change.target],
    ['at most', change.max],
  ] as const;
  const changed = figures.flatMap(([words, value]) => {
    if (value === undefined) return [];
    return [value === null ? `no “${words}”` : `${words} ${figure(value)} ${unit}`];
  });
  return `${limitSubject({ ...change, modulation: change.modulation ?? null })}: ${changed.join(', ')}`;
}

function figure(value: number): string {
  return formatNumber(value, Number.isInteger(value) ? 0 : 1);
}
