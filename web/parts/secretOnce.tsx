import { useState } from 'preact/hooks';

interface SecretOnceProps {
  what: string;
  secret: string;
  /** What becomes of it here. */
  kept?: string;
  onDone: () => void;
}

/** A secret that the server shows this once, with a way to take it along. */
export function SecretOnce({
  what,
  secret,
  kept = 'only a hash of it is kept here',
  onDone,
}: SecretOnceProps) {
  const [copied, setCopied] = useState(false);
  const copy = async () => {
    await navigator.clipboard.writeText(secret);
    setCopied(true);
  };
  return (
    <div class="notice secret" role="status">
      <p>
        <strong>{what} is shown this once.</strong> Copy it now; {kept}.
      </p>
      <input
        class="mono"
        readOnly
        aria-label={what}
        value={secret}
        onFocus={(event) => event.currentTarget.select()}
      />
      <div class="actions">
        <button type="button" class="primary" onClick={copy}>
          {copied ? 'Copied' : 'Copy'}
        </button>
        <button type="button" onClick={onDone}>
          Done
        </button>
      </div>
    </div>
  );
}
