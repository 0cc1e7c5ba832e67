/** Degrees, north and east positive. */
export interface Place {
  readonly latitude: number;
  readonly longitude: number;
}

/** Mean radius R1 of the Earth, km: (2a + b) / 3 of the GRS 80 ellipsoid (H. Moritz, "Geodetic Reference System 1980"; from memory). */
const EARTH_KM = 6371.0088;

/** Shortest way over the ground between two places, km, on a sphere by the haversine formula; within 0.6 % of the ellipsoid. */
export function greatCircleKm(a: Place, b: Place): number {
  const half = (degrees: number) => Math.sin((degrees * Math.PI) / 360) ** 2;
  const cosine = (degrees: number) => Math.cos((degrees * Math.PI) / 180);
  const chord =
    half(b.latitude - a.latitude) + cosine(a.latitude) * cosine(b.latitude) * half(b.longitude - a.longitude);
  return 2 * EARTH_KM * Math.asin(Math.min(1, Math.sqrt(chord)));
}
