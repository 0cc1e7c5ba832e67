export type ErrorStatus = 400 | 401 | 403 | 404 | 409 | 413 | 422 | 429 | 503;

/**
 * Every error that a caller can mend. `message` says what is wrong and names the field,
 * `action` what to do about it; one handler in `app.ts` turns it into JSON.
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
