import type { NewVisitResult, SheetStop } from '../../../api/schemas/visits.ts';
import type { VisitOutcome } from '../../../ingest/store/schema.ts';
import { toLocal } from '../../zonedTime.ts';

/** A result as somebody types it; choices hold numbers as text, `began` is local to the site. */
export interface ResultDraft {
  readonly alertId: string;
  readonly pointId: string;
  readonly outcome: VisitOutcome | null;
  readonly found: string;
  readonly done: string;
  readonly parts: string;
  readonly readChannel: string;
  readonly levelBeforeDbmv: string;
  readonly levelAfterDbmv: string;
  readonly merBeforeDb: string;
  readonly merAfterDb: string;
  readonly began: string;
}

/** For the first task of the stop, begun when arriving was planned, or now where that is still to come. */
export function blankDraft({ tasks, points, arriveAt, timeZone }: SheetStop, nowMs: number): ResultDraft {
  const beganMs = Math.min(Date.parse(arriveAt), nowMs);
  return {
    alertId: String(tasks[0]?.alertId ?? ''),
    pointId: String(tasks[0]?.pointId ?? points[0]?.pointId ?? ''),
    outcome: null,
    found: '',
    done: '',
    parts: '',
    readChannel: '',
    levelBeforeDbmv: '',
    levelAfterDbmv: '',
    merBeforeDb: '',
    merAfterDb: '',
    began: toLocal(new Date(beganMs).toISOString(), timeZone),
  };
}

/** What the draft says, without where and when. */
export function resultOf(
  draft: ResultDraft,
  outcome: VisitOutcome,
): Omit<NewVisitResult, 'resultId' | 'beganAt' | 'doneAt'> {
  const { found, done, parts, readChannel } = draft;
  return {
    alertId: draft.alertId === '' ? null : Number(draft.alertId),
    pointId: Number(draft.pointId),
    outcome,
    found,
    done,
    parts,
    readChannel,
    levelBeforeDbmv: readNumber(draft.levelBeforeDbmv),
    levelAfterDbmv: readNumber(draft.levelAfterDbmv),
    merBeforeDb: readNumber(draft.merBeforeDb),
    merAfterDb: readNumber(draft.merAfterDb),
  };
}

/** Null when the field is empty or holds no number. */
function readNumber(text: string): number | null {
  const value = Number(text);
  return text.trim() === '' || !Number.isFinite(value) ? null : value;
}
