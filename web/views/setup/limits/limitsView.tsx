import type { FleetLimits } from '../../../../api/schemas/limits.ts';
import type { PointKind } from '../../../../ingest/store/schema.ts';
import { post } from '../../../client.ts';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { KIND_WORD } from '../../../words.ts';
import { ownZone } from '../../../zonedTime.ts';
import { SetupMain } from '../setupMain.tsx';
import { ChoiceList } from './choiceList.tsx';
import { LimitChoiceForm } from './limitChoiceForm.tsx';
import { LimitSetTable } from './limitSetTable.tsx';

const KINDS = Object.entries(KIND_WORD) as [PointKind, string][];

/** The limit sets with their sources, and which kind of point takes which across the fleet. */
export function LimitsView() {
  const { data, error, reload } = useLoad<FleetLimits>(paths.limits);
  return (
    <SetupMain
      title="Limit sets"
      lead="A point takes its set by its kind, unless somebody chose otherwise for the fleet, a site or the point. A figure given “after” a standard is to be confirmed against the current text of it."
    >
      {error && <Failure error={error} onRetry={reload} />}
      {!data && !error && <Waiting what="the limit sets" />}
      {data && (
        <>
          {data.sets.map((set) => (
            <LimitSetTable key={set.id} set={set} />
          ))}
          <section class="panel" aria-labelledby="choose-title">
            <h2 id="choose-title">Choose for the whole fleet</h2>
            <LimitChoiceForm
              sets={data.sets}
              targets={KINDS}
              targetLabel="For every point of the kind"
              setInForce={(kind) => setInForce(data, kind)}
              onSend={async (kind, choice) => {
                await post(paths.limitChoices, { kind, ...choice });
                reload();
              }}
            />
            <ChoiceList choices={data.choices} sets={data.sets} timeZone={ownZone()} />
          </section>
        </>
      )}
    </SetupMain>
  );
}

/** What somebody chose last for a kind of point, else what such points take by themselves. */
function setInForce({ sets, choices }: FleetLimits, kind: string): string | undefined {
  const chosen = choices.find((choice) => choice.kind === kind);
  return chosen?.setId ?? sets.find(({ defaultFor }) => defaultFor.some((taker) => taker === kind))?.id;
}
