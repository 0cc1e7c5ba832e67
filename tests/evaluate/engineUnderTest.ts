import { type PlacedFinding, placeFindings } from '../../api/diagnosis/placeFindings.ts';
import { isWithinFloor } from '../../api/diagnosis/practicalFloor.ts';
import type { TreePoint } from '../../api/diagnosis/tree.ts';
import { advance } from '../../api/trend/advance.ts';
import { buildFrame, type Frame } from '../../api/trend/frame.ts';
import { observe } from '../../api/trend/observe.ts';
import { emptyState, keyOf } from '../../api/trend/state.ts';
import type { Finding, Reference } from '../../api/trend/types.ts';
import { median } from '../../ingest/signal/median.ts';
import { MAD_TO_SD, medianAbsoluteDeviation } from '../../ingest/signal/medianAbsoluteDeviation.ts';
import { robustLine } from '../../ingest/signal/robustLine.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import type { Alert } from './alert.ts';
import type { EvaluatedSite } from './evaluatedSite.ts';

/** Placing may still change while the neighbours are swept for the first time after a change. */
const SETTLING_MS = 3_600_000;

export interface Engine {
  /** Takes a sweep, in order of time over all points; answers the alerts that are new or changed. */
  take(point: string, sweep: Sweep): readonly Alert[];
}

/** The engine that is evaluated. No other file of the harness knows it. */
export function createEngine(site: EvaluatedSite): Engine {
  const watches = new Map(site.points.map((point) => [point.name, createWatch(site)]));
  const idOf = new Map(site.points.map((point, index) => [point.name, index + 1]));
  const findings = new Map<number, Map<string, Finding>>(
    site.points.map((_, index) => [index + 1, new Map()]),
  );
  const told = new Map<string, string>();
  let placeUntilMs = 0;

  return {
    take(point, sweep) {
      const changed = watches.get(point)!.take(sweep);
      const own = findings.get(idOf.get(point)!)!;
      for (const finding of changed) own.set(keyOf(finding), finding);
      if (changed.length > 0) placeUntilMs = sweep.atMs + SETTLING_MS;
      if (sweep.atMs > placeUntilMs) return [];

      const tree = site.points.map((each) => treePoint(each, idOf, watches.get(each.name)!.lastMs));
      const lists = new Map([...findings].map(([id, byKey]) => [id, [...byKey.values()]]));
      const alerts = placeFindings(lists, tree).filter(isTold).map(toAlert);
      return alerts.filter((alert) => isNews(alert, told));
    },
  };
}

function isTold({ finding, explainedBy }: PlacedFinding): boolean {
  return finding.kind !== 'instrument-change' && explainedBy === null && !isWithinFloor(finding);
}

function isNews(alert: Alert, told: Map<string, string>): boolean {
  const text = JSON.stringify(alert);
  if (told.get(alert.id) === text) return false;
  told.set(alert.id, text);
  return true;
}

function toAlert({ pointId, finding, side, hop }: PlacedFinding): Alert {
  const { kind, metric, detectedMs, onsetMs, onsetLowMs, onsetHighMs, closedMs } = finding;
  const { sizeDb, sizeLowDb, sizeHighDb, slopeDbPerDay, daysToLimit } = finding;
  return {
    id: `${pointId} ${keyOf(finding)}`,
    kind,
    metric,
    detectedMs,
    onsetMs,
    onsetLowMs,
    onsetHighMs,
    closedMs,
    sizeDb,
    sizeLowDb,
    sizeHighDb,
    slopeDbPerDay,
    daysToLimit,
    hops: [hop.to],
    side,
    cause: null,
  };
}

function treePoint(
  point: EvaluatedSite['points'][number],
  idOf: ReadonlyMap<string, number>,
  lastMs: number | null,
): TreePoint {
  return {
    pointId: idOf.get(point.name)!,
    title: point.name,
    isHandoff: point.fedBy === null,
    fedBy: point.fedBy === null ? null : idOf.get(point.fedBy)!,
    correctsItself: point.correctsItself,
    correctionWindowDb: point.correctionWindowDb,
    hasBaseline: true,
    lastAtMs: lastMs,
  };
}

/** One point: gathers the baseline, then holds every sweep against it. */
function createWatch(site: EvaluatedSite) {
  const state = emptyState();
  const gathered: Sweep[] = [];
  let compared: { frame: Frame; reference: Reference } | null = null;
  const watch = {
    lastMs: null as number | null,
    take(sweep: Sweep): readonly Finding[] {
      watch.lastMs = sweep.atMs;
      if (sweep.atMs < site.baselineUntilMs) {
        gathered.push(sweep);
        return [];
      }
      compared ??= compare(site, gathered);
      return advance(state, observe(sweep, compared.frame), compared.reference).changed;
    },
  };
  return watch;
}

function compare(site: EvaluatedSite, sweeps: readonly Sweep[]): { frame: Frame; reference: Reference } {
  const freqMhz = sweeps[0]!.freqMhz;
  const columns = (read: (sweep: Sweep) => Sweep['levelDbmv'] | null) =>
    freqMhz.map((_, i) => sweeps.map((sweep) => read(sweep)?.[i] ?? null));
  const levels = columns((sweep) => sweep.levelDbmv);
  const mers = columns((sweep) => sweep.merDb);
  const levelDbmv = levels.map(median);
  const line = robustLine(freqMhz, levelDbmv)!;
  const { limits } = site;
  const frame = buildFrame({
    carriers: freqMhz.map((mhz, i) => ({
      freqMhz: mhz,
      channel: site.channels[i]!.channel,
      group: site.channels[i]!.modulation,
      thenLevelDbmv: levelDbmv[i]!,
      thenMerDb: median(mers[i]!),
      thenCnrDb: null,
      merLimitDb: limits.merFloorDb,
      cnrLimitDb: null,
    })),
    band: { lowMhz: freqMhz[0]!, highMhz: freqMhz[freqMhz.length - 1]! },
    line: { levelDbmv: line.levelDbmv, tiltDb: line.tiltDb },
    channelAt: (mhz) =>
      site.channels[freqMhz.findIndex((each) => Math.abs(each - mhz) < 0.05)]?.channel ?? null,
  });
  const reference: Reference = {
    baselineVersion: 1,
    levelDbmv: line.levelDbmv,
    tiltDb: line.tiltDb,
    flatnessDb: frame.thenFlatnessDb,
    merMarginDb: frame.thenMarginDb,
    ambientC: median(sweeps.map(({ ambientC }) => ambientC)),
    levelSpreadDb: median(levels.map(spread)),
    merSpreadDb: median(mers.map(spread)),
    instruments: [...new Set(sweeps.map(({ instrument }) => instrument))],
    limits: [
      { name: 'level', metric: 'level', min: line.levelDbmv - limits.levelBelowDb, max: null },
      { name: 'level', metric: 'level', min: null, max: line.levelDbmv + limits.levelAboveDb },
      { name: 'MER', metric: 'mer', min: 0, max: null },
    ],
  };
  return { frame, reference };
}

function spread(values: readonly (number | null)[]): number | null {
  const deviation = medianAbsoluteDeviation(values);
  return deviation === null ? null : MAD_TO_SD * deviation;
}
