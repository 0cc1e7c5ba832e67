/** Where to go after signing in: a path of this site only, whatever the address asked for. */
export function safeNext(next: string | null): string {
  if (next === null || !/^\/(?![/\\])/.test(next)) return '/';
  return /^\/(sign-in|welcome|invite)\b/.test(next) ? '/' : next;
}
