import type { BaselineRow } from '../../ingest/store/schema.ts';
import type { BaselineProposalView, BaselineVersionView } from '../schemas/baseline.ts';
import type { BreachView } from '../schemas/common.ts';
import type { BaselineProposal } from './proposeBaseline.ts';

/** A kept version as it travels to a page. */
export function baselineVersionView(row: BaselineRow): BaselineVersionView {
  return {
    version: row.version,
    effectiveFrom: row.effective_from.toISOString(),
    fromAt: row.from_at.toISOString(),
    toAt: row.to_at.toISOString(),
    sweeps: row.sweeps,
    instruments: row.instruments,
    levelDbmv: row.level_dbmv,
    tiltDb: row.tilt_db,
    flatnessDb: row.flatness_db,
    worstMerMarginDb: row.worst_mer_margin_db,
    ambientC: row.ambient_c,
    outside: row.outside as BreachView[],
    exceptionNote: row.exception_note,
    acceptedBy: row.accepted_by,
    acceptedAt: row.accepted_at.toISOString(),
  };
}

/** A proposal as it travels to a page; `current` is the version that it would take over from. */
export function baselineProposalView(
  { window, context, draft, overdue, maintenanceSweeps }: BaselineProposal,
  current: BaselineRow | null,
): BaselineProposalView {
  const { id, name, source } = context.limitSet;
  return {
    pointId: window.pointId,
    fromAt: new Date(window.fromMs).toISOString(),
    toAt: new Date(window.toMs).toISOString(),
    sweeps: draft.sweeps,
    instruments: [...draft.instruments],
    levelDbmv: draft.levelDbmv,
    tiltDb: draft.tiltDb,
    flatnessDb: draft.flatnessDb,
    worstMerMarginDb: draft.worstMerMarginDb,
    ambientC: draft.ambientC,
    channels: draft.carriers.map(({ looked: _looked, lost: _lost, planned, ...carrier }) => ({
      ...carrier,
      channel: planned?.channel ?? null,
      modulation: planned?.modulation ?? null,
    })),
    limitSet: { id, name, source },
    outside: [...draft.outside],
    overdueInstruments: overdue.map(({ name, sinceMs }) => ({
      name,
      since: new Date(sinceMs).toISOString(),
    })),
    maintenanceSweeps,
    notLookedFor: [...draft.notLookedFor],
    current: current === null ? null : baselineVersionView(current),
  };
}
