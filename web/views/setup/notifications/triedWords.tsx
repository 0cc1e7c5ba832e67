import type { Tried } from '../../../../api/schemas/notify.ts';

/** How the one attempt ended, in words. */
export function TriedWords({ tried: { outcome, detail } }: { tried: Tried }) {
  const accepted = outcome === 'accepted';
  return (
    <p role="status" class={accepted ? 'tried' : 'tried abnormal'}>
      {accepted ? 'Taken by the other side' : '◆ Not taken'}
      {detail !== '' && `: ${detail}`}
    </p>
  );
}
