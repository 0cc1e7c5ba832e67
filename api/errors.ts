export type ErrorStatus = 400 | 401 | 403 | 404 | 409 | 413 | 415 | 422 | 429 | 503;

/**
 * Every error that a caller can mend. `message` says what is wrong and names the field,
 * `action` what to do about it; one handler in `answerError.ts` turns it into JSON.
 */
export class ApiError extends Error {
  override readonly name: string = 'ApiError';
  readonly status: ErrorStatus;
  readonly code: string;
  readonly action: string;

  constructor(status: ErrorStatus, code: string, message: string, action: string, options?: ErrorOptions) {
    super(message, options);
    this.status = status;
    this.code = code;
    this.action = action;
  }
}

/** There is no such thing, or it isn't the caller's to see. */
export class NotFound extends ApiError {
  override readonly name = 'NotFound';

  constructor(what: string, id: string | number) {
    super(404, 'not-found', `there is no ${what} ${id}`, `check the ${what} in the address`);
  }
}

/** Fields that can't be used: what is wrong with each, by its path such as "channels.0.centreMhz". */
export class InvalidInput extends ApiError {
  override readonly name = 'InvalidInput';
  readonly fields: Readonly<Record<string, string>>;

  constructor(
    fields: Readonly<Record<string, string>>,
    action = 'correct the fields named, then send again',
  ) {
    const faults = Object.entries(fields).map(([path, reason]) => (path ? `${path}: ${reason}` : reason));
    super(422, 'invalid-input', faults.join('; '), action);
    this.fields = fields;
  }
}
