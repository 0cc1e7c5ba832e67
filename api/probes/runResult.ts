/** What came of one try, or of not trying. */
export type RunResult =
  | { readonly outcome: 'read'; readonly sweeps: number; readonly told: string }
  | {
      readonly outcome: 'failed';
      readonly code: RunErrorCode;
      readonly message: string;
      readonly action: string;
    }
  | { readonly outcome: 'held' };

/**
 * `instrument`: it gave no reading. `out-of-time`: it gave none in time. `secrets`: those kept can't be opened. `address`: the server
 * keeps away from there. `sweep-refused`: what it gave is no sweep of the contract. `server-lost`: the servers that read it died, one
 * after another. `unforeseen`: a fault of ours.
 */
export type RunErrorCode =
  | 'instrument'
  | 'out-of-time'
  | 'secrets'
  | 'address'
  | 'sweep-refused'
  | 'server-lost'
  | 'unforeseen';
