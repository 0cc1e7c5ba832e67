import type { Range } from './limits.ts';

/** What is wrong with one field of a sweep, said so that its sender can mend it. */
export class Fault extends Error {
  override readonly name = 'Fault';
  /** Path within the sweep; empty for the sweep itself. */
  readonly field: string;

  constructor(field: string, reason: string) {
    super(reason);
    this.field = field;
  }

  static outside(field: string, value: number, range: Range): Fault {
    const unit = range.unit === '' ? '' : ` ${range.unit}`;
    return new Fault(field, `${value} is outside ${range.min} to ${range.max}${unit}: ${range.advice}`);
  }
}
