/** Roles from least to most; each may do what those before it may. */
export const ROLES = ['viewer', 'technician', 'manager', 'administrator'] as const;
export type Role = (typeof ROLES)[number];

/** Who makes a request: a signed-in person or an automation token. */
export interface Actor {
  readonly name: string;
  readonly email: string | null;
  readonly role: Role;
  readonly via: 'session' | 'token';
}

/** Whether `role` may do what asks for `needed`. */
export function mayActAs(role: Role, needed: Role): boolean {
  return ROLES.indexOf(role) >= ROLES.indexOf(needed);
}
