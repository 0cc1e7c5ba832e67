/** How one attempt to hand a message over ended. */
export interface Outcome {
  /** `refused`: no use in trying again. */
  readonly outcome: 'accepted' | 'try-again' | 'refused';
  /** What the other side said, or what came between. */
  readonly detail: string;
}

const MAX_DETAIL = 500;

export function outcome(kind: Outcome['outcome'], detail: string): Outcome {
  return { outcome: kind, detail: detail.replaceAll(/\s+/g, ' ').trim().slice(0, MAX_DETAIL) };
}
