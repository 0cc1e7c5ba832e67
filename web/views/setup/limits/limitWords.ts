import type { LimitView } from '../../../../api/schemas/limits.ts';
import { formatMhz, formatNumber } from '../../../format.ts';
import { MODULATION_WORD } from '../../../words.ts';

type Quantity = LimitView['quantity'];

export const QUANTITY_WORD: Readonly<Record<Quantity, string>> = {
  level: 'Level of a channel',
  mer: 'MER of a channel',
  cnr: 'CNR of a channel',
  adjacent: 'Difference between neighbours',
  spread: 'Difference between any two channels',
  tilt: 'Tilt',
  flatness: 'Flatness, peak to valley',
  'stability-1h': 'Change within one hour',
  'stability-24h': 'Change within 24 hours',
  'variation-6-months': 'Change within six months',
};

/** What a limit speaks of: "Level of a channel, 256-QAM". */
export function limitSubject(limit: Pick<LimitView, 'quantity' | 'modulation'>): string {
  const modulation = limit.modulation === null ? '' : `, ${MODULATION_WORD[limit.modulation]}`;
  return QUANTITY_WORD[limit.quantity] + modulation;
}

/** What a limit asks for: "14 to 26 dBmV, aim at 20". */
export function limitDemand(limit: LimitView): string {
  const { min, target, max, maxByTopMhz, unit } = limit;
  const figure = (value: number) => formatNumber(value, Number.isInteger(value) ? 0 : 1);
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
