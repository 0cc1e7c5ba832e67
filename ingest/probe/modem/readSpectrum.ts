import { ProbeError } from '../probeError.ts';
import { SPECTRUM_ENABLED, SPECTRUM_SEGMENTS, TABLES } from './objects.ts';
import type { SnmpReader } from './snmpReader.ts';
import { type SpectrumSegment, spectrumSegment } from './spectrumSegment.ts';

const TRUTH_VALUE_FALSE = 2;

/**
 * The segments of the modem's spectrum table; empty when it has none. Throws a ProbeError of kind `instrument` when a
 * row can't be taken apart.
 */
export async function readSpectrum(reader: SnmpReader): Promise<SpectrumSegment[]> {
  const rows = await reader.bytesColumn(SPECTRUM_SEGMENTS);
  return [...rows].flatMap(([row, bytes]) => {
    // A segment that isn't measured yet.
    if (bytes.length === 0) return [];
    try {
      return [spectrumSegment(bytes)];
    } catch (cause) {
      const reason = cause instanceof Error ? cause.message : String(cause);
      throw new ProbeError(
        'instrument',
        `row ${row} of ${TABLES.spectrum} can’t be read: ${reason}`,
        'check for newer firmware of the modem; until then read it without its spectrum',
        { cause },
      );
    }
  });
}

/** Why there is no spectrum, in words. */
export async function whyNoSpectrum(reader: SnmpReader): Promise<string> {
  const enabled = await reader.integer(SPECTRUM_ENABLED);
  if (enabled === null)
    return `this modem has no ${TABLES.spectrum}, or the community or user may not read it`;
  if (enabled === TRUTH_VALUE_FALSE) {
    return 'spectrum analysis is off on this modem; the probe only reads and does not switch it on: whoever may write to the modem sets docsIf3CmSpectrumAnalysisCtrlCmdEnable, with an inactivity time-out of 0';
  }
  return `${TABLES.spectrum} is empty, though spectrum analysis is on: the measurement may not be finished`;
}
