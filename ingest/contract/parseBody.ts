import { isAscii, isUtf8 } from 'node:buffer';
import type { IngestLimits } from './limits.ts';

/** A request that can't be read as a whole, with the status that says so. */
export class BadRequest extends Error {
  override readonly name = 'BadRequest';
  readonly status: 400 | 413 | 415;
  readonly action: string;

  constructor(status: 400 | 413 | 415, message: string, action: string, options?: ErrorOptions) {
    super(message, options);
    this.status = status;
    this.action = action;
  }
}

/** The elements of `sweeps` in a JSON body, unchecked. Throws a {@link BadRequest}. */
export function parseBody(bytes: Buffer, limits: IngestLimits): unknown[] {
  const body = parseJson(bytes);
  const sweeps =
    typeof body === 'object' && body !== null ? (body as { sweeps?: unknown }).sweeps : undefined;
  if (!Array.isArray(sweeps)) {
    throw new BadRequest(400, 'the body has no list "sweeps"', 'send {"sweeps": [ … ]}');
  }
  if (sweeps.length > limits.maxSweeps) {
    throw new BadRequest(
      413,
      `the body has ${sweeps.length} sweeps, more than ${limits.maxSweeps}`,
      `send at most ${limits.maxSweeps} sweeps a request`,
    );
  }
  return sweeps;
}

function parseJson(bytes: Buffer): unknown {
  if (!isUtf8(bytes)) {
    throw new BadRequest(
      400,
      'the body is not UTF-8 text',
      'send JSON in UTF-8, gzip and zstd named in Content-Encoding',
    );
  }
  try {
    // Most bodies are plain ASCII, which is read in a third of the time.
    return JSON.parse(bytes.toString(isAscii(bytes) ? 'latin1' : 'utf8'));
  } catch (error) {
    const detail = error instanceof Error ? error.message.slice(0, 120) : '';
    throw new BadRequest(400, `the body is not JSON (${detail})`, 'send one JSON object, whole');
  }
}
