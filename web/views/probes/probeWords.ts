import type { HttpSettings } from '../../../api/schemas/httpProbe.ts';
import type { ProbeStanding, ProbeView } from '../../../api/schemas/probes.ts';
import type { ProbeSchedule } from '../../../ingest/store/schema.ts';
import { formatCount, plural } from '../../format.ts';

/** From most to least pressing, as filters show them. */
export const STANDINGS: readonly ProbeStanding[] = ['failing', 'late', 'unread', 'sound', 'paused'];

export const STANDING_WORD: Readonly<Record<ProbeStanding, string>> = {
  failing: 'Failing',
  late: 'Late',
  unread: 'New',
  sound: 'Sound',
  paused: 'Paused',
};

/** What a standing means, where there is room to say it. */
export const STANDING_MEANS: Readonly<Record<ProbeStanding, string>> = {
  failing: 'its last reading failed',
  late: 'due for over a minute, and no server has read it',
  unread: 'not read yet',
  sound: 'its last reading came in',
  paused: 'not read until somebody resumes it',
};

/** What a web address answers with. */
export const ANSWER_WORD: Readonly<Record<HttpSettings['format']['is'], string>> = {
  contract: 'a sweep, ready to take',
  records: 'a list of channels',
};

/** Where it is read: a modem's host, or a web address. */
export function addressOf(probe: ProbeView): string {
  return probe.kind === 'modem' ? probe.settings.host : probe.settings.url;
}

/** How it lets itself be read: "SNMP v3", "user reader, with a password"; never a secret. */
export function accessWords(probe: ProbeView): string {
  if (probe.kind === 'modem') return `SNMP v${probe.settings.access.version}`;
  const { access } = probe.settings;
  if (access.by === 'nothing') return 'open, asks for no secret';
  return access.by === 'password'
    ? `user ${access.user}, with a password`
    : `secret in ${access.names.join(', ')}`;
}

/** "every 5 min", "every 2 h", "at 0 6 * * *": the schedule in the site's zone. */
export function scheduleWords(schedule: ProbeSchedule): string {
  return schedule.kind === 'every' ? `every ${spanWords(schedule.intervalS)}` : `at ${schedule.expression}`;
}

/** Seconds in the largest unit that they fill: "30 s", "5 min", "2 h". */
export function spanWords(seconds: number): string {
  if (seconds % 3600 === 0) return `${seconds / 3600} h`;
  if (seconds % 60 === 0) return `${seconds / 60} min`;
  return `${seconds} s`;
}

/** When it is read next: "in 3 min", "due now", "12 min late"; a dash while it is paused. */
export function dueWords(dueAt: string | null, nowMs: number): string {
  if (dueAt === null) return '–';
  const aheadS = Math.round((Date.parse(dueAt) - nowMs) / 1000);
  if (aheadS > 0) return `in ${roughly(aheadS)}`;
  return aheadS > -60 ? 'due now' : `${roughly(-aheadS)} late`;
}

/** Share of runs that succeeded, never rounded up to all: "99.9 % of 8,640". */
export function successWords(runs: number, failed: number): string {
  if (runs === 0) return 'no reading yet';
  const percent = Math.floor((1000 * (runs - failed)) / runs) / 10;
  return `${percent} % of ${formatCount(runs)}`;
}

/** The heading of the page: what needs somebody, in one sentence. */
export function probesToday(probes: number, failing: number, late: number): string {
  if (probes === 0) return 'No probe has been set up yet.';
  if (probes === 1) {
    if (failing + late === 0) return 'The one probe is read as it should be.';
    return `The one probe is ${failing > 0 ? 'failing' : 'late'}.`;
  }
  const faults = [failing > 0 && `${formatCount(failing)} failing`, late > 0 && `${formatCount(late)} late`];
  const told = faults.filter(Boolean).join(', ');
  return told === ''
    ? `All of ${plural(probes, 'probe')} are read as they should be.`
    : `Of ${plural(probes, 'probe')}: ${told}.`;
}

function roughly(seconds: number): string {
  if (seconds < 90) return `${seconds} s`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 90) return `${minutes} min`;
  const hours = Math.round(minutes / 60);
  return hours < 48 ? `${hours} h` : plural(Math.round(hours / 24), 'day');
}
