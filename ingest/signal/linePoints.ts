/**
 * The points that a line is fitted to, and what is known of them so far. Typed arrays cost more to allocate than a sweep to
 * fit, so one of these is reused from sweep to sweep; only the first `count` entries (`groups` in `offset`) mean anything.
 */
export interface LinePoints {
  count: number;
  groups: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Of each point, 0 to `groups` - 1. */
  readonly group: Uint8Array;
  readonly weight: Float64Array;
  /** y of each group's line at x = 0; NaN where a group has no point. */
  readonly offset: Float64Array;
  /** Room to work in; holds nothing between two functions. */
  readonly room: readonly [Float64Array, Float64Array, Float64Array];
}

/** How many groups points may fall in. */
export const MOST_GROUPS = 255;

export function createLinePoints(capacity: number): LinePoints {
  const room = (): Float64Array => new Float64Array(Math.max(capacity, MOST_GROUPS));
  return {
    count: 0,
    groups: 1,
    x: new Float64Array(capacity),
    y: new Float64Array(capacity),
    group: new Uint8Array(capacity),
    weight: new Float64Array(capacity),
    offset: new Float64Array(MOST_GROUPS),
    room: [room(), room(), room()],
  };
}
