export const EXIT_CODES = { usage: 2, refused: 3, unavailable: 4 } as const;

/** Something that whoever runs the tool can mend. */
export class ToolError extends Error {
  override readonly name = 'ToolError';
  readonly kind: keyof typeof EXIT_CODES;
  readonly action: string;

  constructor(kind: keyof typeof EXIT_CODES, message: string, action: string, options?: ErrorOptions) {
    super(message, options);
    this.kind = kind;
    this.action = action;
  }
}
