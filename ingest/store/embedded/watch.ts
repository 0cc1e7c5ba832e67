import { connect } from 'node:net';
import { setTimeout } from 'node:timers/promises';

const EVERY_MS = 2_000;

/** Whether something listens on this port of 127.0.0.1. */
export function answers(port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect(port, '127.0.0.1');
    socket.on('connect', () => socket.end(() => resolve(true)));
    socket.on('error', () => resolve(false));
  });
}

/**
 * Calls `revive` whenever the port has stopped answering; one that fails is tried again. Answers how to end the watch,
 * which waits for a `revive` under way. It keeps no program from ending.
 */
export function watchPort(port: number, revive: () => Promise<void>): () => Promise<void> {
  const ending = new AbortController();
  const pause = () => setTimeout(EVERY_MS, true, { signal: ending.signal, ref: false }).catch(() => false);
  const watching = (async () => {
    while (await pause()) {
      if (!(await answers(port))) await revive().catch(() => {});
    }
  })();
  return () => {
    ending.abort();
    return watching;
  };
}
