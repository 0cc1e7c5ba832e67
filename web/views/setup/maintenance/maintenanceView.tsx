import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { MaintenanceWindow, MaintenanceWindowsSchema } from '../../../../api/schemas/maintenance.ts';
import { del, patch, post } from '../../../client.ts';
import { Empty, Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useMay } from '../../../session.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { SetupMain } from '../setupMain.tsx';
import { WindowForm } from './windowForm.tsx';
import { WindowLine } from './windowLine.tsx';

const REFRESH_MS = 60_000;

/** Times in which people work on the plant, of a site, a provider or the fleet. */
export function MaintenanceView() {
  const { data, error, reload } = useLoad<z.infer<typeof MaintenanceWindowsSchema>>(
    paths.maintenance,
    REFRESH_MS,
  );
  const [changing, setChanging] = useState<number | null>(null);
  const mayChange = useMay('manager');
  const action = useSubmit();
  const act = (work: () => Promise<unknown>) => action.run(() => work().then(reload));
  const isAhead = ({ state }: MaintenanceWindow) => state === 'planned' || state === 'running';
  const ahead = data?.windows.filter(isAhead).reverse() ?? [];
  const past = data?.windows.filter((window) => !isAhead(window)) ?? [];

  const line = (window: MaintenanceWindow) =>
    changing === window.windowId ? (
      <li key={window.windowId}>
        <WindowForm
          initial={window}
          does="Save"
          onCancel={() => setChanging(null)}
          onSend={async ({ fromAt, toAt, reason, effect }) => {
            await patch(paths.maintenanceWindow(window.windowId), { fromAt, toAt, reason, effect });
            setChanging(null);
            reload();
          }}
        />
      </li>
    ) : (
      <WindowLine
        key={window.windowId}
        window={window}
        mayChange={mayChange}
        onChange={() => setChanging(window.windowId)}
        onEnd={() =>
          act(() => patch(paths.maintenanceWindow(window.windowId), { toAt: new Date().toISOString() }))
        }
        onCancel={() => act(() => del(paths.maintenanceWindow(window.windowId)))}
      />
    );

  return (
    <SetupMain
      title="Maintenance windows"
      lead="While people work on the plant, readings are kept and marked, but nothing is concluded from them, and a sweep that stays away is not told. What stays changed after the window is found as usual."
    >
      {error && <Failure error={error} onRetry={reload} />}
      {action.error && <Failure error={action.error} />}
      {mayChange && (
        <section class="panel" aria-labelledby="new-window">
          <h2 id="new-window">Plan a window</h2>
          <WindowForm
            does="Plan the window"
            onSend={async (window) => {
              await post(paths.maintenance, window);
              reload();
            }}
          />
        </section>
      )}
      {!data && !error && <Waiting what="the windows" />}
      {data?.windows.length === 0 && <Empty>No window has been planned yet.</Empty>}
      {ahead.length > 0 && (
        <section class="panel" aria-labelledby="windows-ahead">
          <h2 id="windows-ahead">Running and planned</h2>
          <ul class="rows">{ahead.map(line)}</ul>
        </section>
      )}
      {past.length > 0 && (
        <section class="panel" aria-labelledby="windows-past">
          <h2 id="windows-past">Over or cancelled</h2>
          <ul class="rows">{past.map(line)}</ul>
        </section>
      )}
    </SetupMain>
  );
}
