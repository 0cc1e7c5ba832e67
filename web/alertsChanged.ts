const changes = new EventTarget();

/** Somebody on this page has done something to alerts: whoever shows them loads them again. */
export function alertsChanged(): void {
  changes.dispatchEvent(new Event('change'));
}

/** Calls `then` at each change; the answer ends that. */
export function onAlertsChanged(then: () => void): () => void {
  changes.addEventListener('change', then);
  return () => changes.removeEventListener('change', then);
}
