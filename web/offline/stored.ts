/** JSON kept on this device under `key`; null when there is none, or it can't be read. */
export function readStored<T>(key: string): T | null {
  try {
    const text = localStorage.getItem(key);
    return text === null ? null : (JSON.parse(text) as T);
  } catch {
    return null;
  }
}

/** False when the device has no room or allows none. */
export function writeStored(key: string, value: unknown): boolean {
  try {
    localStorage.setItem(key, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}

export function dropStored(key: string): void {
  try {
    localStorage.removeItem(key);
  } catch {
    // A device that keeps nothing has nothing to drop.
  }
}

/** Drops everything whose key begins with `prefix`. */
export function dropAllStored(prefix: string): void {
  try {
    for (const key of Object.keys(localStorage)) if (key.startsWith(prefix)) localStorage.removeItem(key);
  } catch {
    // A device that keeps nothing has nothing to drop.
  }
}
