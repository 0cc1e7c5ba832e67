import type { ComponentChildren } from 'preact';

/** Wide content that scrolls inside its own box, by keyboard as well; it is named for screen readers. */
export function ScrollRegion(props: { label: string; class?: string; children: ComponentChildren }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard.
    <section class={`table-scroll ${props.class ?? ''}`} tabIndex={0} aria-label={props.label}>
      {props.children}
    </section>
  );
}
