/** "0.4 dB below the baseline". */
export function againstBaseline(changeDb: number): string {
  const size = Math.abs(changeDb).toFixed(1);
  if (size === '0.0') return 'as in the baseline';
  return `${size} dB ${changeDb < 0 ? 'below' : 'above'} the baseline`;
}

/** Why there is nothing to compare with. */
export function noBaseline(hasBaseline: boolean): string {
  return hasBaseline ? 'the baseline holds none of these channels' : 'no baseline to compare with';
}

/** "1 channel". */
export function channels(count: number): string {
  return `${count} channel${count === 1 ? '' : 's'}`;
}

/** To the tenth, with a true minus. */
export function figure(value: number): string {
  const text = Math.abs(value).toFixed(1);
  return value < 0 && text !== '0.0' ? `−${text}` : text;
}

/** A change in dB, with its sign. */
export function signed(db: number): string {
  return `${db >= 0.05 ? '+' : ''}${figure(db)} dB`;
}
