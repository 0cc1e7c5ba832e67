import { useState } from 'preact/hooks';
import type { NotifyView } from '../../../../api/schemas/notify.ts';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useMay } from '../../../session.ts';
import { useLoad } from '../../../useLoad.ts';
import { SetupMain } from '../setupMain.tsx';
import { Messages } from './messages.tsx';
import { OwnHours } from './ownHours.tsx';
import { Rules } from './rules.tsx';
import { Targets } from './targets.tsx';

/** Who is told about alerts, how, and when. Everybody sees their own hours; the rest is a manager's. */
export function NotificationsView() {
  const manager = useMay('manager');
  return (
    <SetupMain
      title="Notifications"
      lead={
        manager
          ? 'Who is told about alerts, by e-mail or webhook, when, and who comes next when nobody acknowledges.'
          : 'When messages about alerts may reach you. Who is told about what is a manager’s to say.'
      }
    >
      {manager ? <Managed /> : <OwnHours />}
    </SetupMain>
  );
}

function Managed() {
  const { data, error, reload } = useLoad<NotifyView>(paths.notify);
  const [turn, setTurn] = useState(0);
  const changed = () => {
    reload();
    setTurn((n) => n + 1);
  };
  if (!data) {
    return error ? <Failure error={error} onRetry={reload} /> : <Waiting what="the rules" />;
  }
  return (
    <>
      {data.mailFrom === null && (
        <div class="notice notice-failure">
          <p>
            <strong>E-mail is not set up on this server.</strong> What to do: ask whoever runs it to set
            LEVELKEEP_SMTP_URL and LEVELKEEP_MAIL_FROM. Until then messages wait, for about 30 hours each;
            webhooks work.
          </p>
        </div>
      )}
      <Rules view={data} onChanged={changed} />
      <Targets view={data} onChanged={changed} />
      <Messages turn={turn} />
      <OwnHours key={turn} />
    </>
  );
}
