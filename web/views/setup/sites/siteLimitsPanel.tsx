import type { FleetLimits, SiteLimits } from '../../../../api/schemas/limits.ts';
import type { PointKind } from '../../../../ingest/store/schema.ts';
import { post } from '../../../client.ts';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { KIND_WORD } from '../../../words.ts';
import { ChoiceList } from '../limits/choiceList.tsx';
import { LimitChoiceForm } from '../limits/limitChoiceForm.tsx';

/** Which limits hold at each point of a site, why, and how to choose others. */
export function SiteLimitsPanel({ siteId, timeZone }: { siteId: number; timeZone: string }) {
  const { data, error, reload } = useLoad<SiteLimits>(paths.siteLimits(siteId));
  const fleet = useLoad<FleetLimits>(paths.limits);
  const failure = error ?? fleet.error;
  return (
    <section class="panel" aria-labelledby="limits-title">
      <h2 id="limits-title">Limits</h2>
      {failure && <Failure error={failure} onRetry={reload} />}
      {!data && !failure && <Waiting what="the limits" />}
      {data?.points.length === 0 && <p class="quiet">Each point will take a limit set by its kind.</p>}
      {data && (
        <ul class="rows">
          {data.points.map((point) => (
            <li key={point.pointId}>
              <span>
                <strong>{point.title}</strong>: {point.set.name}
              </span>
              <span class="quiet">{point.why}</span>
            </li>
          ))}
        </ul>
      )}
      {data && fleet.data && data.points.length > 0 && (
        <details>
          <summary>Choose other limits here</summary>
          <LimitChoiceForm
            sets={fleet.data.sets}
            targets={targetsOf(data)}
            targetLabel="For"
            setInForce={(target) =>
              data.points.find(({ pointId, kind }) => target === String(pointId) || target === kind)?.set.id
            }
            onSend={async (target, choice) => {
              const pointId = Number(target);
              await post(
                paths.siteLimitChoices(siteId),
                pointId > 0 ? { pointId, ...choice } : { kind: target, ...choice },
              );
              reload();
            }}
          />
        </details>
      )}
      {data && fleet.data && (
        <ChoiceList
          choices={data.choices}
          sets={fleet.data.sets}
          timeZone={timeZone}
          nameOfPoint={(id) => data.points.find((point) => point.pointId === id)?.title ?? `point ${id}`}
        />
      )}
    </section>
  );
}

/** Single points by their number, then kinds by their name. */
function targetsOf(limits: SiteLimits): [string, string][] {
  const kinds = [...new Set(limits.points.map((point): PointKind => point.kind))];
  return [
    ...limits.points.map((point): [string, string] => [String(point.pointId), point.title]),
    ...kinds.map((kind): [string, string] => [kind, `every ${KIND_WORD[kind].toLowerCase()} of this site`]),
  ];
}
