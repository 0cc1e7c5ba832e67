/** One place in a raster of channels. */
export interface RasterChannel {
  /** As the raster names it, such as "2", "95", "S21". */
  readonly channel: string;
  readonly centreMhz: number;
  readonly widthMhz: number;
  /** Analogue picture carrier, where the raster fixes it. */
  readonly visualMhz?: number;
}
