import { useEffect, useRef, useState } from 'preact/hooks';
import type {
  SiteProbes as Answer,
  ProbeAdded,
  ProbeView,
  ReadingAsked,
} from '../../../../../api/schemas/probes.ts';
import type { PointSetup } from '../../../../../api/schemas/siteSetup.ts';
import { del, patch, post } from '../../../../client.ts';
import { Failure } from '../../../../parts/notice.tsx';
import { paths } from '../../../../paths.ts';
import { useAddress } from '../../../../router.ts';
import { useMay } from '../../../../session.ts';
import { useLoad } from '../../../../useLoad.ts';
import { useSubmit } from '../../../../useSubmit.ts';
import { inTreeOrder } from '../pointDraft.ts';
import { changeProbeInput, emptyProbe, newProbeInput, probeDraft } from './probeDraft.ts';
import { ProbeForm } from './probeForm.tsx';
import { ProbeSetupLine } from './probeSetupLine.tsx';

interface SiteProbesProps {
  siteId: number;
  timeZone: string;
  points: readonly PointSetup[];
}

type Open = 'new' | number | null;

/** Instruments of the site that the server reads by itself. */
export function SiteProbes({ siteId, timeZone, points }: SiteProbesProps) {
  const { data, error, reload } = useLoad<Answer>(paths.siteProbes(siteId));
  const manager = useMay('manager');
  const [open, setOpen] = useState<Open>(null);
  /** A reading that was asked for by saving. */
  const [awaited, setAwaited] = useState<{ probeId: number; askedAt: string } | null>(null);
  const acting = useSubmit();
  const heading = useRef<HTMLHeadingElement>(null);
  const probeAt = pointToProbe(useAddress(), points);
  useEffect(() => {
    if (data === null || probeAt === null) return;
    if (manager && data.probes.every(({ pointId }) => pointId !== probeAt)) setOpen('new');
    heading.current?.focus();
    heading.current?.scrollIntoView({ block: 'start' });
  }, [data !== null, probeAt]);
  const close = () => setOpen(null);
  const ordered = inTreeOrder(points).map(({ point }) => point);
  const saved = (probeId: number, askedAt: string) => {
    setAwaited({ probeId, askedAt });
    close();
    reload();
  };
  const form = { points: ordered, timeZone, onCancel: close };
  return (
    <section class="panel spaced" aria-labelledby="probes-title">
      <h2 id="probes-title" tabIndex={-1} ref={heading}>
        Probes
      </h2>
      <p class="quiet">
        Instruments that this server reaches and reads by itself: cable modems, by SNMP, and instruments that
        answer with JSON at a web address. What it cannot reach is read by the agent on site, with a site key.
      </p>
      {(error ?? acting.error) && <Failure error={(error ?? acting.error)!} />}
      <ul class="rows">
        {data?.probes.map((probe) =>
          open === probe.probeId ? (
            <li key={probe.probeId}>
              <ProbeForm
                {...form}
                initial={probeDraft(probe)}
                isThere
                does="Save the probe"
                onSend={async (draft) => {
                  await patch(paths.siteProbe(siteId, probe.probeId), changeProbeInput(draft));
                  const { askedAt } = await post<ReadingAsked>(
                    paths.probeReadings(siteId, probe.probeId),
                    {},
                  );
                  saved(probe.probeId, askedAt);
                }}
              />
            </li>
          ) : (
            <ProbeSetupLine
              key={lineKey(probe, awaited)}
              siteId={siteId}
              probe={probe}
              timeZone={timeZone}
              awaited={awaited?.probeId === probe.probeId ? awaited.askedAt : null}
              onRead={reload}
              onChange={() => setOpen(probe.probeId)}
              onPause={(enabled) =>
                acting.run(() => patch(paths.siteProbe(siteId, probe.probeId), { enabled }).then(reload))
              }
              onRemove={() => acting.run(() => del(paths.siteProbe(siteId, probe.probeId)).then(reload))}
            />
          ),
        )}
      </ul>
      {data?.probes.length === 0 && open === null && (
        <p>No probe: this server reads nothing here by itself.</p>
      )}
      {manager && open === null && points.length > 0 && (
        <div class="actions">
          <button type="button" onClick={() => setOpen('new')}>
            Add a probe
          </button>
        </div>
      )}
      {points.length === 0 && <p class="quiet">A probe measures a point: add the handoff first.</p>}
      {open === 'new' && (
        <ProbeForm
          {...form}
          initial={emptyProbe(probeAt ?? ordered[0]?.pointId ?? null)}
          isThere={false}
          does="Add the probe and read it"
          onSend={async (draft) => {
            const { probeId, askedAt } = await post<ProbeAdded>(
              paths.siteProbes(siteId),
              newProbeInput(draft),
            );
            saved(probeId, askedAt);
          }}
        />
      )}
    </section>
  );
}

/** The point that the address asks to have a probe set up at; null when it names none of the site. */
function pointToProbe({ searchParams }: URL, points: readonly PointSetup[]): number | null {
  const wanted = searchParams.get('probe-at');
  return points.find(({ pointId }) => String(pointId) === wanted)?.pointId ?? null;
}

/** A line begins anew when a reading of it is waited for. */
function lineKey({ probeId }: ProbeView, awaited: { probeId: number; askedAt: string } | null): string {
  return awaited?.probeId === probeId ? `${probeId} ${awaited.askedAt}` : String(probeId);
}
