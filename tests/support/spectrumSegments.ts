/** A flat stretch of power: a channel as its spectrum shows it. */
export interface Block {
  readonly centreMhz: number;
  readonly widthMhz: number;
  readonly levelDbmv: number;
}

export interface SegmentShape {
  readonly spanMhz: number;
  readonly bins: number;
  /** Equivalent noise bandwidth in bins: 1 for a rectangular window, 1.5 for Hann's. */
  readonly noiseBins: number;
  /** Over `bins` leaves a gap of one bin between segments; over `bins − 1`, as the convention says, edges fall together. */
  readonly spacing: 'by bins' | 'by gaps';
  readonly floorDbmvPerHz?: number;
}

const FINE_HZ = 500;

/**
 * What a spectrum analyser would put into its table for these blocks: each bin is the power within its equivalent noise
 * bandwidth about its centre, summed over slices of 500 Hz. Segments run from `fromMhz` to beyond `toMhz`.
 */
export function segmentsFor(
  blocks: readonly Block[],
  fromMhz: number,
  toMhz: number,
  shape: SegmentShape,
): { centreHz: number; bytes: Buffer }[] {
  const segments: { centreHz: number; bytes: Buffer }[] = [];
  const spanHz = shape.spanMhz * 1e6;
  for (let lowHz = fromMhz * 1e6; lowHz < toMhz * 1e6; lowHz += spanHz) {
    const centreHz = lowHz + spanHz / 2;
    segments.push({ centreHz, bytes: segmentBytes(blocks, centreHz, spanHz, shape) });
  }
  return segments;
}

function segmentBytes(
  blocks: readonly Block[],
  centreHz: number,
  spanHz: number,
  shape: SegmentShape,
): Buffer {
  const { bins, noiseBins, spacing, floorDbmvPerHz = -150 } = shape;
  const spacingHz = Math.round(spanHz / (spacing === 'by bins' ? bins : bins - 1));
  const bandwidthHz = Math.round(spacingHz * noiseBins);
  const bytes = Buffer.alloc(20 + 2 * bins);
  for (const [i, value] of [centreHz, spanHz, bins, spacingHz, bandwidthHz].entries())
    bytes.writeUInt32BE(value, 4 * i);
  for (let i = 0; i < bins; i++) {
    const hz = centreHz + (i - (bins - 1) / 2) * spacingHz;
    let power = 0;
    const slices = Math.round(bandwidthHz / FINE_HZ);
    for (let slice = 0; slice < slices; slice++) {
      const at = hz - bandwidthHz / 2 + (slice + 0.5) * (bandwidthHz / slices);
      power += densityAt(at, blocks, floorDbmvPerHz) * (bandwidthHz / slices);
    }
    bytes.writeInt16BE(Math.round(1000 * Math.log10(power)), 20 + 2 * i);
  }
  return bytes;
}

function densityAt(hz: number, blocks: readonly Block[], floorDbmvPerHz: number): number {
  const block = blocks.find(({ centreMhz, widthMhz }) => Math.abs(hz / 1e6 - centreMhz) <= widthMhz / 2);
  const floor = 10 ** (floorDbmvPerHz / 10);
  return block === undefined ? floor : floor + 10 ** (block.levelDbmv / 10) / (block.widthMhz * 1e6);
}
