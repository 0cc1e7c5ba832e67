import { useState } from 'preact/hooks';
import type { PointSetup } from '../../../../api/schemas/siteSetup.ts';
import { del, patch, post } from '../../../client.ts';
import { plural } from '../../../format.ts';
import { ConfirmButton } from '../../../parts/confirmButton.tsx';
import { Link } from '../../../parts/link.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { KIND_WORD } from '../../../words.ts';
import { emptyPoint, inTreeOrder, pointDraft, possibleFeeders } from './pointDraft.ts';
import { PointForm } from './pointForm.tsx';

interface PointsEditorProps {
  siteId: number;
  points: readonly PointSetup[];
  onChanged: () => void;
}

type Open = { change: number } | { addBelow: number | null } | null;

/** The tree of points, each to change, to add below, or to take away. */
export function PointsEditor({ siteId, points, onChanged }: PointsEditorProps) {
  const [open, setOpen] = useState<Open>(null);
  const removal = useSubmit();
  const close = () => setOpen(null);
  const done = () => {
    close();
    onChanged();
  };
  const add = (feeder: PointSetup | null) => (
    <PointForm
      initial={emptyPoint(feeder)}
      feeders={points}
      does="Add the point"
      onCancel={close}
      onSend={async (point) => {
        await post(paths.points(siteId), point);
        done();
      }}
    />
  );
  return (
    <section class="panel" aria-labelledby="points-title">
      <h2 id="points-title">Points, from the handoff down</h2>
      {removal.error && <Failure error={removal.error} />}
      {points.length === 0 && open === null && (
        <>
          <p>
            Begin with the handoff, where the provider’s feed comes in. It is judged before anything below it.
          </p>
          <button type="button" class="primary" onClick={() => setOpen({ addBelow: null })}>
            Add the handoff
          </button>
        </>
      )}
      {open && 'addBelow' in open && open.addBelow === null && add(null)}
      <ol class="tree setup-tree">
        {inTreeOrder(points).map(({ point, depth }) => (
          <li key={point.pointId} style={{ '--depth': String(Math.min(depth, 8)) }}>
            {point.hopNote && <p class="hop">{point.hopNote}</p>}
            {open && 'change' in open && open.change === point.pointId ? (
              <PointForm
                initial={pointDraft(point)}
                feeders={possibleFeeders(points, point)}
                does="Save the point"
                onCancel={close}
                onSend={async (changed) => {
                  await patch(paths.point(siteId, point.pointId), changed);
                  done();
                }}
              />
            ) : (
              <PointLine
                siteId={siteId}
                point={point}
                onChange={() => setOpen({ change: point.pointId })}
                onAdd={() => setOpen({ addBelow: point.pointId })}
                onRemove={() => removal.run(() => del(paths.point(siteId, point.pointId)).then(onChanged))}
              />
            )}
            {open && 'addBelow' in open && open.addBelow === point.pointId && add(point)}
          </li>
        ))}
      </ol>
    </section>
  );
}

interface PointLineProps {
  siteId: number;
  point: PointSetup;
  onChange: () => void;
  onAdd: () => void;
  onRemove: () => void;
}

function PointLine({ siteId, point, onChange, onAdd, onRemove }: PointLineProps) {
  const title = point.label || point.name;
  return (
    <div class="setup-point">
      <p>
        <strong>{title}</strong>{' '}
        <span class="quiet">
          {KIND_WORD[point.kind]} · <span class="mono">{point.name}</span> · {plural(point.outlets, 'outlet')}
          {point.correctsItself && ' · corrects itself'}
          {point.correctionWindowDb !== null && ` within ±${point.correctionWindowDb} dB`}
        </span>
      </p>
      <div class="actions">
        <Link
          href={`/setup/sites/${siteId}/points/${point.pointId}/baseline`}
          class="button small"
          label={`Baseline of ${title}`}
        >
          Baseline
        </Link>
        <button type="button" class="small" aria-label={`Change ${title}`} onClick={onChange}>
          Change
        </button>
        <button type="button" class="small" aria-label={`Add below ${title}`} onClick={onAdd}>
          Add below
        </button>
        {!point.hasSweeps && (
          <ConfirmButton does="Remove" question={`Remove ${title}?`} onConfirm={onRemove} />
        )}
      </div>
    </div>
  );
}
