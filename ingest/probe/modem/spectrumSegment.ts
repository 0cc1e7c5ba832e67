/** Power by frequency over one stretch of the band, as a modem's spectrum table gives it. */
export interface SpectrumSegment {
  readonly centreHz: number;
  /** From one bin's centre to the next, Hz. */
  readonly spacingHz: number;
  /** Equivalent noise bandwidth of a bin, Hz. */
  readonly noiseBandwidthHz: number;
  /** By bin, from the lowest frequency up, dBmV. */
  readonly levelDbmv: readonly number[];
}

const HEADER_BYTES = 20;
const BYTES_PER_BIN = 2;

/**
 * Takes apart one value of docsIf3CmSpectrumAnalysisMeasAmplitudeData: five 32-bit numbers (centre, span, number of bins,
 * bin spacing, resolution bandwidth, all in Hz but the number), then a signed 16-bit value a bin in hundredths of a dB, all
 * with the highest byte first.
 *
 * Source: textual convention AmplitudeData of DOCS-IF3-MIB, revision of 2015-05-20, read in source. It counts from "the
 * expected received signal power", as it was made for upstream channels; that modems mean dBmV in this table is from memory,
 * and `spectrumOffsetDb` holds it against the modem's own tuners. Byte order too is from memory (that of the network).
 *
 * @throws Error that says what doesn't fit
 */
export function spectrumSegment(bytes: Uint8Array): SpectrumSegment {
  if (bytes.length < HEADER_BYTES)
    throw new Error(`has ${bytes.length} bytes, fewer than its head of ${HEADER_BYTES}`);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const [centreHz, spanHz, bins, spacing, bandwidth] = [0, 4, 8, 12, 16].map((at) => view.getUint32(at));
  const expected = HEADER_BYTES + BYTES_PER_BIN * bins!;
  if (bins! < 2 || bytes.length !== expected) {
    throw new Error(`tells of ${bins} bins, which need ${expected} bytes, and has ${bytes.length}`);
  }
  // The convention derives the one from the other; some leave it at 0.
  const spacingHz = spacing! > 0 ? spacing! : spanHz! / (bins! - 1);
  if (!(spacingHz > 0)) throw new Error('tells neither of a span nor of the spacing of its bins');
  return {
    centreHz: centreHz!,
    spacingHz,
    noiseBandwidthHz: bandwidth! > 0 ? bandwidth! : spacingHz,
    levelDbmv: Array.from({ length: bins! }, (_, i) => view.getInt16(HEADER_BYTES + BYTES_PER_BIN * i) / 100),
  };
}
