import type { ChangeProbe, NewProbeInput, ProbeView } from '../../../../../api/schemas/probes.ts';
import { numberOrNull } from '../siteDraft.ts';

type ModemAccess = ProbeView['settings']['access'];
type V3 = Extract<ModemAccess, { version: '3' }>;

/** The probe form as it is typed. */
export interface ProbeDraft {
  name: string;
  pointId: string;
  host: string;
  port: string;
  instrument: string;
  version: '2c' | '3';
  community: string;
  user: string;
  auth: '' | NonNullable<V3['auth']>;
  authPassword: string;
  priv: '' | NonNullable<V3['priv']>;
  privPassword: string;
  scheduleKind: 'every' | 'cron';
  everyMinutes: string;
  expression: string;
  timeoutS: string;
  floorS: string;
}

export function emptyProbe(pointId: number | null): ProbeDraft {
  return {
    name: '',
    pointId: pointId === null ? '' : String(pointId),
    host: '',
    port: '161',
    instrument: '',
    version: '3',
    community: '',
    user: '',
    auth: 'sha256',
    authPassword: '',
    priv: 'aes',
    privPassword: '',
    scheduleKind: 'every',
    everyMinutes: '15',
    expression: '0 6 * * *',
    timeoutS: '30',
    floorS: '10',
  };
}

/** Secrets are never shown again: their fields begin empty. */
export function probeDraft(probe: ProbeView): ProbeDraft {
  const { settings, schedule } = probe;
  const { access } = settings;
  const isEvery = schedule.kind === 'every';
  return {
    ...emptyProbe(probe.pointId),
    name: probe.name,
    host: settings.host,
    port: String(settings.port),
    instrument: settings.instrument ?? '',
    version: access.version,
    ...(access.version === '3' && { user: access.user, auth: access.auth ?? '', priv: access.priv ?? '' }),
    scheduleKind: schedule.kind,
    ...(isEvery
      ? { everyMinutes: String(Number((schedule.intervalS / 60).toFixed(2))) }
      : { expression: schedule.expression }),
    timeoutS: String(probe.timeoutS),
    floorS: String(probe.floorS),
  };
}

export function newProbeInput(draft: ProbeDraft): NewProbeInput {
  return { kind: 'modem', ...commonInput(draft), secrets: secretsOf(draft) };
}

/** Secrets that were left empty stay as they are. */
export function changeProbeInput(draft: ProbeDraft): ChangeProbe {
  const secrets = secretsOf(draft);
  return { ...commonInput(draft), ...(Object.keys(secrets).length > 0 && { secrets }) };
}

function commonInput(draft: ProbeDraft) {
  return {
    name: draft.name,
    pointId: numberOrNull(draft.pointId) ?? 0,
    settings: {
      host: draft.host,
      port: numberOrNull(draft.port) ?? 161,
      instrument: draft.instrument.trim() === '' ? null : draft.instrument,
      access: accessOf(draft),
    },
    schedule:
      draft.scheduleKind === 'every'
        ? { kind: 'every' as const, intervalS: Math.round((numberOrNull(draft.everyMinutes) ?? 15) * 60) }
        : { kind: 'cron' as const, expression: draft.expression },
    timeoutS: numberOrNull(draft.timeoutS) ?? 30,
    floorS: numberOrNull(draft.floorS) ?? 10,
  };
}

function accessOf({ version, user, auth, priv }: ProbeDraft): ModemAccess {
  if (version === '2c') return { version };
  return { version, user, auth: auth === '' ? null : auth, priv: priv === '' ? null : priv };
}

function secretsOf(draft: ProbeDraft): Record<string, string> {
  const { version, community, auth, authPassword, priv, privPassword } = draft;
  const given =
    version === '2c'
      ? { community }
      : { ...(auth !== '' && { authPassword }), ...(priv !== '' && { privPassword }) };
  return Object.fromEntries(Object.entries(given).filter(([, value]) => value !== ''));
}
