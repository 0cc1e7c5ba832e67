import { useState } from 'preact/hooks';
import { post } from '../../../client.ts';
import { plural } from '../../../format.ts';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { MOST_BRANCHES, POINT_SHAPES } from './pointShapes.ts';

/** A ready tree to begin with; every point can be changed, added to or removed afterwards. */
export function ShapePanel({ siteId, onChanged }: { siteId: number; onChanged: () => void }) {
  const [id, setId] = useState(POINT_SHAPES[0]!.id);
  const shape = POINT_SHAPES.find((candidate) => candidate.id === id)!;
  const [count, setCount] = useState('');
  const [minutes, setMinutes] = useState('15');
  const { run, busy, error } = useSubmit();
  const points = shape.points(Number(count) || shape.usual);
  const submit = async (event: Event) => {
    event.preventDefault();
    const intervalS = Math.round((Number(minutes) || 15) * 60);
    await run(() =>
      post(paths.pointTree(siteId), { points: points.map((point) => ({ ...point, intervalS })) }).then(
        onChanged,
      ),
    );
  };
  return (
    <section class="panel" aria-labelledby="shape-title">
      <h3 id="shape-title">Begin with a ready tree</h3>
      <form class="form" onSubmit={submit}>
        <div class="form-grid">
          <ChoiceField
            label="Shape"
            hint={shape.words}
            value={id}
            options={POINT_SHAPES.map((candidate) => [candidate.id, candidate.name] as const)}
            onValue={setId}
          />
          {shape.counts !== null && (
            <TextField
              label={`${shape.counts}, at most ${MOST_BRANCHES}`}
              type="number"
              value={count === '' ? String(shape.usual) : count}
              onValue={setCount}
            />
          )}
          <TextField
            label="A sweep of each every, minutes"
            type="number"
            value={minutes}
            onValue={setMinutes}
          />
        </div>
        <p class="quiet">
          {plural(points.length, 'point')}: {points.map(({ label, name }) => label || name).join(', ')}.
        </p>
        {error && <Failure error={error} />}
        <div class="actions">
          <button type="submit" class="primary" disabled={busy}>
            Add these points
          </button>
          <span class="quiet">Put right afterwards what differs. Or build your own, below.</span>
        </div>
      </form>
    </section>
  );
}
