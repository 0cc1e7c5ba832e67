import type { Sweep } from '../../ingest/sweep.ts';

/** What a reading brought, in one line: "32 channels from 111 to 747 MHz, −3.2 to 5.1 dBmV, MER 34.1 to 40.2 dB; 1 not measured". */
export function tellReading({ freqMhz, levelDbmv, merDb }: Sweep): string {
  const levels = measured(levelDbmv);
  const count = freqMhz.length === 1 ? '1 channel' : `${freqMhz.length} channels`;
  const unmeasured = freqMhz.length - levels.length;
  return [
    `${count} from ${short(freqMhz[0]!)} to ${short(freqMhz.at(-1)!)} MHz`,
    ...(levels.length > 0 ? [`level ${range(levels)} dBmV`] : []),
    ...(merDb !== null && measured(merDb).length > 0 ? [`MER ${range(measured(merDb))} dB`] : []),
    ...(unmeasured > 0 ? [`${unmeasured} not measured`] : []),
  ].join(', ');
}

function measured(values: readonly (number | null)[]): number[] {
  return values.filter((value) => value !== null);
}

function range(values: readonly number[]): string {
  return `${signed(Math.min(...values))} to ${signed(Math.max(...values))}`;
}

function signed(value: number): string {
  return value.toFixed(1).replace('-', '−');
}

function short(mhz: number): string {
  return String(Number(mhz.toFixed(3)));
}
