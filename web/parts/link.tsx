import type { ComponentChildren } from 'preact';
import { navigate } from '../router.ts';

interface LinkProps {
  href: string;
  children: ComponentChildren;
  class?: string;
  current?: boolean;
  label?: string;
  onFollow?: () => void;
}

/** A link inside the product: plain clicks stay on the page, all others are the browser's. */
export function Link({ href, children, current, label, onFollow, class: className }: LinkProps) {
  const follow = (event: MouseEvent) => {
    if (event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    event.preventDefault();
    navigate(href);
    onFollow?.();
  };
  return (
    <a
      href={href}
      class={className}
      aria-current={current ? 'page' : undefined}
      aria-label={label}
      onClick={follow}
    >
      {children}
    </a>
  );
}
