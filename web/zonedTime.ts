/** "2026-03-09T08:15" in `timeZone`, as a `datetime-local` input wants it. */
export function toLocal(at: string, timeZone: string): string {
  const parts = new Intl.DateTimeFormat('en-CA', {
    timeZone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).formatToParts(new Date(at));
  const part = (type: Intl.DateTimeFormatPartTypes) => parts.find((p) => p.type === type)?.value ?? '';
  return `${part('year')}-${part('month')}-${part('day')}T${part('hour')}:${part('minute')}`;
}

/**
 * The instant, ISO 8601 in UTC, at which clocks in `timeZone` show `local` ("2026-03-09T08:15"). An hour that
 * clocks skip moves on by as much as they do; of an hour they show twice, the first. Null when `local` is no time.
 */
export function toInstant(local: string, timeZone: string): string | null {
  const wantedMs = Date.parse(`${local}Z`);
  if (Number.isNaN(wantedMs)) return null;
  const offsets = [-86_400_000, 86_400_000].map((shift) => offsetMs(wantedMs + shift, timeZone));
  const candidates = offsets.map((offset) => wantedMs - offset).sort((a, b) => a - b);
  const exact = candidates.find((ms) => ms + offsetMs(ms, timeZone) === wantedMs);
  return new Date(exact ?? wantedMs - offsets[0]!).toISOString();
}

function offsetMs(atMs: number, timeZone: string): number {
  const at = new Date(atMs).toISOString();
  return Date.parse(`${toLocal(at, timeZone)}Z`) - Math.floor(atMs / 60_000) * 60_000;
}

/** The zone of the reader's own device. */
export const ownZone = (): string => new Intl.DateTimeFormat().resolvedOptions().timeZone;
