/** Tells how a long step goes: one line a step, with its percentage and at its end the time it took. */
export interface Step {
  /** `share` of the step is done, 0 to 1. */
  reach(share: number): void;
  done(remark?: string): void;
}

/** Begins a step. On a terminal its line is rewritten; elsewhere each quarter gets a line. */
export function beginStep(title: string, out: NodeJS.WriteStream = process.stdout): Step {
  const startedMs = performance.now();
  let shownPercent = 0;
  if (out.isTTY) out.write(`  ${title} …`);

  return {
    reach(share) {
      const percent = Math.min(99, Math.floor(share * 100));
      if (percent < shownPercent + (out.isTTY ? 1 : 25)) return;
      shownPercent = percent;
      out.write(out.isTTY ? `\r  ${title} … ${percent} %` : `  ${title} … ${percent} %\n`);
    },
    done(remark) {
      const seconds = ((performance.now() - startedMs) / 1000).toFixed(1);
      const end = `  ${title}: ${remark === undefined ? '' : `${remark}, `}${seconds} s`;
      out.write(out.isTTY ? `\r${end}\u001B[K\n` : `${end}\n`);
    },
  };
}
