/**
 * Has the browser keep the pages themselves, so that a day that was opened once opens without a network. Answers whether it does:
 * browsers allow it on https and on the own machine only.
 */
export async function startOfflineWorker(): Promise<boolean> {
  if (!('serviceWorker' in navigator)) return false;
  try {
    await navigator.serviceWorker.register('/offline.js');
    await navigator.serviceWorker.ready;
    return true;
  } catch {
    return false;
  }
}
