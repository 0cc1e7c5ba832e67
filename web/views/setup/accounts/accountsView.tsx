import { Empty } from '../../../parts/notice.tsx';
import { useMay } from '../../../session.ts';
import { SetupMain } from '../setupMain.tsx';
import { Invitations } from './invitations.tsx';
import { People } from './people.tsx';
import { Tokens } from './tokens.tsx';

/** Who may come in, and which scripts. */
export function AccountsView() {
  const administrator = useMay('administrator');
  return (
    <SetupMain title="Accounts">
      {administrator ? (
        <>
          <People />
          <Invitations />
          <Tokens />
        </>
      ) : (
        <Empty>
          <p>Accounts are an administrator’s to change. Ask one of yours.</p>
        </Empty>
      )}
    </SetupMain>
  );
}
