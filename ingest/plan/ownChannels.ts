/** Narrowest and widest channel that is proposed, MHz: television channels are 6, 7 or 8 MHz wide. */
const NARROWEST_MHZ = 1;
const WIDEST_MHZ = 8;
const USUAL_MHZ = 6;

/**
 * Channels around carriers that follow no known raster: each named by its whole megahertz ("57", or "57.25" where two
 * share one), all as wide as the closest two lie apart, and no wider than 8 MHz so that none overlap.
 *
 * @param freqMhz in rising order
 */
export function ownChannels(
  freqMhz: readonly number[],
): { readonly channel: string; readonly centreMhz: number; readonly widthMhz: number }[] {
  const gaps = freqMhz.slice(1).map((mhz, i) => mhz - freqMhz[i]!);
  const closestMhz = gaps.length === 0 ? USUAL_MHZ : Math.min(...gaps);
  const widthMhz = Math.min(WIDEST_MHZ, Math.max(NARROWEST_MHZ, Math.floor(closestMhz * 100) / 100));
  const whole = freqMhz.map((mhz) => String(Math.round(mhz)));
  return freqMhz.map((centreMhz, i) => {
    const isShared = whole.filter((name) => name === whole[i]).length > 1;
    return { channel: isShared ? String(centreMhz) : whole[i]!, centreMhz, widthMhz };
  });
}
