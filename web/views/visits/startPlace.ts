/** Where a day starts, as somebody types it. */
export interface StartPlace {
  readonly name: string;
  /** "41.20, -72.10", or empty. */
  readonly coordinates: string;
}

/** Degrees from "41.20, -72.10"; null when empty; undefined when it is no place. */
export function parseCoordinates(text: string): { latitude: number; longitude: number } | null | undefined {
  if (text.trim() === '') return null;
  const [, north, east] =
    /^\s*([-−]?\d{1,2}(?:\.\d+)?)\s*[,; ]\s*([-−]?\d{1,3}(?:\.\d+)?)\s*$/.exec(text) ?? [];
  if (north === undefined || east === undefined) return undefined;
  const [latitude, longitude] = [north, east].map((degrees) => Number(degrees.replace('−', '-'))) as [
    number,
    number,
  ];
  return Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180 ? { latitude, longitude } : undefined;
}
