/** What was true, what was told. */
export interface Named {
  readonly truth: string;
  readonly told: string;
}

/** F1 of one cause; 0 where it was never told rightly. */
export function f1(named: readonly Named[], cause: string): number {
  const right = named.filter(({ truth, told }) => truth === cause && told === cause).length;
  const wrong = named.filter(({ truth, told }) => (truth === cause) !== (told === cause)).length;
  return right === 0 ? 0 : (2 * right) / (2 * right + wrong);
}

/** Mean F1 over the causes that were planted; null without any. */
export function macroF1(named: readonly Named[]): number | null {
  const causes = [...new Set(named.map(({ truth }) => truth))];
  if (causes.length === 0) return null;
  return causes.reduce((sum, cause) => sum + f1(named, cause), 0) / causes.length;
}

/** Truth down, told across, as lines of text; the told are numbered and explained below. */
export function confusionLines(named: readonly Named[]): string[] {
  const truths = [...new Set(named.map(({ truth }) => truth))].sort();
  const told = [...new Set([...truths, ...named.map((each) => each.told)])];
  const count = (truth: string, name: string) =>
    named.filter((each) => each.truth === truth && each.told === name).length;
  const cell = (text: string | number) => String(text).padStart(4);
  return [
    `${'truth \\ told'.padEnd(28)}${told.map((_, i) => cell(i + 1)).join('')}`,
    ...truths.map(
      (truth) => `${truth.padEnd(28)}${told.map((name) => cell(count(truth, name) || '.')).join('')}`,
    ),
    told.map((name, i) => `${i + 1} ${name}`).join(', '),
  ];
}
