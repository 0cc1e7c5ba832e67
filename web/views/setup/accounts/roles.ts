import type { Role } from '../../../../api/accounts/actor.ts';

/** Roles with what each may do; each may do what those before it may. */
export const ROLE_OPTIONS: readonly (readonly [Role, string])[] = [
  ['viewer', 'viewer: sees everything'],
  ['technician', 'technician: points, baselines, keys too'],
  ['manager', 'manager: sites, plans, limits, providers too'],
  ['administrator', 'administrator: accounts too'],
];
