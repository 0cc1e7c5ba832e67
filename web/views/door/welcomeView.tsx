import { DoorFrame } from './doorFrame.tsx';
import { FollowedLink } from './linkForm.tsx';

/** The first start: whoever holds the set-up link becomes the first administrator. */
export function WelcomeView({ onSignedIn }: { onSignedIn: () => void }) {
  return (
    <DoorFrame title="Make the first account">
      <p>
        It can do everything: set up sites, accept baselines, invite others. The link that brought you here
        works once.
      </p>
      <FollowedLink onSignedIn={onSignedIn} />
    </DoorFrame>
  );
}
