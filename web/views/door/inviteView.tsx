import { DoorFrame } from './doorFrame.tsx';
import { FollowedLink } from './linkForm.tsx';

/** An invitation, or a link to set a new password. */
export function InviteView({ onSignedIn }: { onSignedIn: () => void }) {
  return (
    <DoorFrame title="Come in">
      <FollowedLink onSignedIn={onSignedIn} />
    </DoorFrame>
  );
}
