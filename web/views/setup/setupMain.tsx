import type { ComponentChildren } from 'preact';
import { useTitle } from '../../useTitle.ts';

/** A set-up page's own part, under its title. */
export function SetupMain({
  title,
  lead,
  children,
}: {
  title: string;
  lead?: string;
  children: ComponentChildren;
}) {
  useTitle(title);
  return (
    <main class="setup-main" id="main">
      <h1 tabIndex={-1}>{title}</h1>
      {lead && <p class="quiet setup-lead">{lead}</p>}
      {children}
    </main>
  );
}
