/** A count with its noun: "1 sweep", "2 sweeps". */
export function countOf(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`;
}
