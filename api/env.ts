import type { Actor } from './accounts/actor.ts';

/** What middleware leaves in the request's context. */
export interface AppEnv {
  Variables: { actor: Actor };
}
