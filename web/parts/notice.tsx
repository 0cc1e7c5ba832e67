import type { ComponentChildren } from 'preact';
import { RequestFailure } from '../client.ts';

/** What went wrong and what to do about it. */
export function Failure({ error, onRetry }: { error: Error; onRetry?: () => void }) {
  const action = error instanceof RequestFailure ? error.action : 'load the page again';
  return (
    <div class="notice notice-failure" role="alert">
      <p>
        <strong>That did not work: {error.message}.</strong> What to do: {action}.
      </p>
      {onRetry && (
        <button type="button" onClick={onRetry}>
          Try again
        </button>
      )}
    </div>
  );
}

export function Waiting({ what }: { what: string }) {
  return (
    <p class="waiting" role="status">
      Loading {what}…
    </p>
  );
}

/** Nothing to show, and what would put something there. */
export function Empty({ children }: { children: ComponentChildren }) {
  return <div class="notice">{children}</div>;
}
