import type { ChangeProbe, NewProbeInput, ProbeView } from '../../../../../api/schemas/probes.ts';
import { numberOrNull } from '../siteDraft.ts';
import { EMPTY_HTTP, type HttpDraft, httpDraft, httpSecrets, httpSettings } from './httpDraft.ts';
import { EMPTY_MODEM, type ModemDraft, modemDraft, modemSecrets, modemSettings } from './modemDraft.ts';

/** The probe form as it is typed; of `modem` and `http` the one of its kind counts. */
export interface ProbeDraft extends CommonDraft {
  kind: ProbeView['kind'];
  modem: ModemDraft;
  http: HttpDraft;
}

/** What every probe has, whatever it reads. */
export interface CommonDraft {
  name: string;
  pointId: string;
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
    kind: 'modem',
    modem: EMPTY_MODEM,
    http: EMPTY_HTTP,
    scheduleKind: 'every',
    everyMinutes: '15',
    expression: '0 6 * * *',
    timeoutS: '30',
    floorS: '10',
  };
}

export function probeDraft(probe: ProbeView): ProbeDraft {
  const { schedule } = probe;
  return {
    ...emptyProbe(probe.pointId),
    name: probe.name,
    kind: probe.kind,
    ...(probe.kind === 'modem' ? { modem: modemDraft(probe.settings) } : { http: httpDraft(probe.settings) }),
    scheduleKind: schedule.kind,
    ...(schedule.kind === 'every'
      ? { everyMinutes: String(Number((schedule.intervalS / 60).toFixed(2))) }
      : { expression: schedule.expression }),
    timeoutS: String(probe.timeoutS),
    floorS: String(probe.floorS),
  };
}

export function newProbeInput(draft: ProbeDraft): NewProbeInput {
  const { kind, modem, http } = draft;
  return kind === 'modem'
    ? { kind, ...commonInput(draft), settings: modemSettings(modem), secrets: modemSecrets(modem) }
    : { kind, ...commonInput(draft), settings: httpSettings(http), secrets: httpSecrets(http) };
}

/** Secrets that were left empty stay as they are. */
export function changeProbeInput(draft: ProbeDraft): ChangeProbe {
  const { settings, secrets } = newProbeInput(draft);
  return {
    ...commonInput(draft),
    settings,
    ...(Object.keys(secrets ?? {}).length > 0 && { secrets }),
  };
}

function commonInput(draft: CommonDraft) {
  return {
    name: draft.name,
    pointId: numberOrNull(draft.pointId) ?? 0,
    schedule:
      draft.scheduleKind === 'every'
        ? { kind: 'every' as const, intervalS: Math.round((numberOrNull(draft.everyMinutes) ?? 15) * 60) }
        : { kind: 'cron' as const, expression: draft.expression },
    timeoutS: numberOrNull(draft.timeoutS) ?? 30,
    floorS: numberOrNull(draft.floorS) ?? 10,
  };
}
