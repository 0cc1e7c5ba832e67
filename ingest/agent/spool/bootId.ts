import { randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';

/** Names this run of the machine, so that two uptimes can be compared; of this process where the system has no name for it. */
export function bootId(): string {
  try {
    return readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim();
  } catch {
    return randomUUID();
  }
}
