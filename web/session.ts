import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import type { Role } from '../api/accounts/actor.ts';
import { post } from './client.ts';
import { paths } from './paths.ts';

export interface Me {
  readonly name: string;
  readonly email: string;
  readonly role: Role;
}

/** Who is signed in; null while nobody is. */
export const MeContext = createContext<Me | null>(null);

const RANK: Readonly<Record<Role, number>> = { viewer: 0, technician: 1, manager: 2, administrator: 3 };

/** Whether the reader may do what asks for `role`. The server decides; this only saves a vain attempt. */
export function useMay(role: Role): boolean {
  const me = useContext(MeContext);
  return me !== null && RANK[me.role] >= RANK[role];
}

/** What `GET /api/auth/get-session` answers: null when nobody is signed in. */
export interface SessionAnswer {
  readonly user: Me;
}

export const signIn = (email: string, password: string) => post(paths.signIn, { email, password });
export const signOut = () => post(paths.signOut, {});
