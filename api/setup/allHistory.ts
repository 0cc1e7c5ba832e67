/** From before any sweep: what a change of plan, kind or limits of a point makes the engine judge again. */
export const ALL_HISTORY_MS = 0;
