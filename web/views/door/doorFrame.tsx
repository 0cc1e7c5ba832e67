import type { ComponentChildren } from 'preact';
import { useTitle } from '../../useTitle.ts';

/** The page around signing in: the name, what this is, and one form. */
export function DoorFrame({ title, children }: { title: string; children: ComponentChildren }) {
  useTitle(title);
  return (
    <main class="page door" id="main">
      <p class="door-brand">
        <strong>Levelkeep</strong>
        <span class="quiet">keeps watch over cable television in buildings</span>
      </p>
      <section class="panel">
        <h1 tabIndex={-1}>{title}</h1>
        {children}
      </section>
    </main>
  );
}
