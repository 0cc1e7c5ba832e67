const TYPED = 'typed: ';

/** What sweeps call an instrument whose figures a person read off and typed: "typed: meter-3". */
export function typedInstrument(name: string): string {
  return `${TYPED}${name}`;
}

/** Whether a person typed what this instrument says. */
export function isTyped(instrument: string): boolean {
  return instrument.startsWith(TYPED);
}
