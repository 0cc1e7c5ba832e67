import type { AgentConfig } from './config/readConfig.ts';
import type { RunnerProbe } from './schedule/runner.ts';

const SHOWN_TIMES = 3;

/** What would run when, in lines for a person. */
export function checkLines(config: AgentConfig, probes: readonly RunnerProbe[], nowMs: number): string[] {
  return [
    `${config.agent}: ${probes.length} probe${probes.length === 1 ? '' : 's'}, sent to ${config.url.origin}, unsent in ${config.spool.folder}`,
    ...probes.map((probe) => {
      const times = nextTimes(probe, nowMs).map((ms) => shownTime(ms, config.zone));
      return `${probe.point}, ${probe.driver}: ${times.length === 0 ? 'never again' : times.join(', ')}`;
    }),
    `times in ${config.zone}`,
  ];
}

function nextTimes({ schedule }: RunnerProbe, nowMs: number): number[] {
  const times: number[] = [];
  for (let ms = schedule.next(nowMs); ms !== null && times.length < SHOWN_TIMES; ms = schedule.next(ms))
    times.push(ms);
  return times;
}

function shownTime(ms: number, zone: string): string {
  return new Date(ms).toLocaleString('sv-SE', { timeZone: zone });
}
