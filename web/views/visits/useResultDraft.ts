import { useState } from 'preact/hooks';
import type { SheetStop } from '../../../api/schemas/visits.ts';
import { dropStored, readStored, writeStored } from '../../offline/stored.ts';
import { blankDraft, type ResultDraft } from './resultDraft.ts';

const keyOf = (visitId: number) => `levelkeep.result-draft.${visitId}`;

/** Whether somebody began to type a result of this visit on this device. */
export function hasDraft(visitId: number): boolean {
  return readStored(keyOf(visitId)) !== null;
}

/** A half-typed result stays on the device, since phones drop pages that lie in a pocket. */
export function useResultDraft(stop: SheetStop) {
  const key = keyOf(stop.visitId);
  const [draft, setDraft] = useState<ResultDraft>(
    () => readStored<ResultDraft>(key) ?? blankDraft(stop, Date.now()),
  );
  const change = (changes: Partial<ResultDraft>) => {
    const changed = { ...draft, ...changes };
    setDraft(changed);
    writeStored(key, changed);
  };
  return { draft, change, drop: () => dropStored(key) };
}
