import { useMemo, useState } from 'preact/hooks';
import type { TypedForm, TypedSaved } from '../../../api/schemas/typedReadings.ts';
import { del, post, RequestFailure } from '../../client.ts';
import { plural } from '../../format.ts';
import { ConfirmButton } from '../../parts/confirmButton.tsx';
import { Failure } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { useSubmit } from '../../useSubmit.ts';
import { draftOf, fieldOf } from './draftOf.ts';
import { EMPTY_ROW, forget, hasFigures, type Kept, type KeptRow, keep, openKept } from './kept.ts';
import { MeterFields } from './meterFields.tsx';
import { ReadingRow } from './readingRow.tsx';
import { Saved } from './saved.tsx';
import { useJudged } from './useJudged.ts';
import { VerdictBar, VerdictSentences } from './verdictBar.tsx';

interface ReadingsFormProps {
  form: TypedForm;
  /** Begins anew at the same point. */
  onAnother: () => void;
}

/** The form itself: what is typed stays on this device until the server has it as a sweep. */
export function ReadingsForm({ form, onAnother }: ReadingsFormProps) {
  const { siteId } = form.site;
  const { pointId } = form.point;
  const [kept, setKept] = useState(() => openKept(form, new Date()));
  const [isKept, setIsKept] = useState(true);
  const [saved, setSaved] = useState<TypedSaved | null>(null);
  const { draft, places, faults } = useMemo(() => draftOf(kept, form.channels), [kept, form]);
  const {
    verdict: newest,
    isAway,
    error,
    stop,
  } = useJudged(paths.readingsDraft(siteId, pointId), draft, hasFigures(kept) && saved === null);
  // What is typed while the server is away has not been judged.
  const verdict = isAway ? null : newest;
  const saving = useSubmit();

  const change = (next: Partial<Kept>) => {
    const changed = { ...kept, ...next, changedAt: new Date().toISOString() };
    setKept(changed);
    setIsKept(keep(siteId, pointId, changed));
  };
  const changeRow = (place: number, next: Partial<KeptRow>) =>
    change({ rows: kept.rows.map((row, i) => (i === place ? { ...row, ...next } : row)) });
  const save = async (event: Event) => {
    event.preventDefault();
    await saving.run(async () => {
      const answer = await post<TypedSaved>(paths.readings(siteId, pointId), {
        ...draft,
        at: kept.changedAt,
      });
      await stop();
      forget(siteId, pointId);
      setSaved(answer);
    });
  };
  const startOver = async () => {
    await stop();
    forget(siteId, pointId);
    await del(paths.readingsDraft(siteId, pointId)).catch(() => {});
    onAnother();
  };

  if (saved !== null) return <Saved form={form} saved={saved} verdict={verdict} onAnother={onAnother} />;
  const said = Object.fromEntries(
    Object.entries(saving.fields).map(([path, reason]) => [fieldOf(path, places), reason]),
  );
  const fault = (field: string) => faults[field] ?? said[field];
  const wrong = Object.keys(faults).length;
  return (
    <form class="readings-form" onSubmit={save} autocomplete="off">
      <div class="readings-top">
        <VerdictBar verdict={verdict} />
        {isAway && <Away isKept={isKept} />}
      </div>
      {!isAway && !isKept && hasFigures(kept) && (
        <p class="notice">
          This device keeps nothing: do not load the page again before the readings are saved.
        </p>
      )}
      {error && <Failure error={error} />}
      <MeterFields kept={kept} known={form.instruments} faults={{ ...said, ...faults }} onChange={change} />
      <section aria-labelledby="channels-title">
        <h2 id="channels-title">Channels</h2>
        <ul class="reading-rows">
          {kept.rows.map((row, i) => (
            <ReadingRow
              key={i}
              row={row}
              place={i}
              channels={form.channels}
              unit={kept.levelUnit}
              zeroDbmv={form.zeroDbmvIn[kept.levelUnit]}
              judged={hasFigures(kept) ? verdict?.readings[places.indexOf(i)] : undefined}
              faults={{
                mhz: fault(`rows.${i}.mhz`),
                level: fault(`rows.${i}.level`),
                quality: fault(`rows.${i}.quality`),
              }}
              onChange={(next) => changeRow(i, next)}
              onRemove={() => change({ rows: kept.rows.filter((_, other) => other !== i) })}
            />
          ))}
        </ul>
        <button type="button" onClick={() => change({ rows: [...kept.rows, nextRow(kept, form)] })}>
          Add a channel
        </button>
      </section>
      <section class="panel" aria-labelledby="says-title">
        <h2 id="says-title">What the figures say</h2>
        {verdict && hasFigures(kept) ? (
          <VerdictSentences verdict={verdict} />
        ) : (
          <p>Type a level, and it stands here.</p>
        )}
        {saving.error && <SaveFailure error={saving.error} isKept={isKept} />}
        <div class="actions">
          <button type="submit" class="primary" disabled={saving.busy || wrong > 0 || !hasFigures(kept)}>
            {saving.busy ? 'Saving…' : 'Save as one sweep'}
          </button>
          {hasFigures(kept) && (
            <ConfirmButton does="Start over" question="Throw these figures away?" onConfirm={startOver} />
          )}
          {wrong > 0 && <span class="field-error">{plural(wrong, 'field')} above can’t be read.</span>}
        </div>
      </section>
    </form>
  );
}

function Away({ isKept }: { isKept: boolean }) {
  return (
    <p class="away" role="status">
      <strong>No connection.</strong>{' '}
      {isKept
        ? 'What you type is kept on this device, also when the page is closed. It is judged when the connection is back; save it then.'
        : 'This device keeps nothing: leave the page open until the connection is back.'}
    </p>
  );
}

function SaveFailure({ error, isKept }: { error: Error; isKept: boolean }) {
  if (error instanceof RequestFailure && error.status === 0) {
    return (
      <div class="notice notice-failure" role="alert">
        <p>
          <strong>Not saved: the server did not answer.</strong>{' '}
          {isKept
            ? 'Nothing is lost. Save again where there is a connection; it is never stored twice.'
            : 'Leave the page open and save again.'}
        </p>
      </div>
    );
  }
  return <Failure error={error} />;
}

/** The lowest channel that the form doesn't have yet. */
function nextRow({ rows }: Kept, { channels }: TypedForm): KeptRow {
  const free = channels.find(({ freqMhz }) => rows.every(({ mhz }) => mhz !== String(freqMhz)));
  return free === undefined ? EMPTY_ROW : { ...EMPTY_ROW, mhz: String(free.freqMhz) };
}
