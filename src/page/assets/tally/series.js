// Series of tries against the mark that passes a rung: as the program counts them, and on with what was
// touched here since.

/** How a student stands at a rung: `known` as the program told it, or nothing; `outcomes` since then. */
export function stand(pass, known, outcomes) {
  let { made, tries } = known?.series ?? { made: 0, tries: 0 };
  let ended = known?.ended ?? null;
  let passed = known?.passed ?? null;
  for (const outcome of outcomes) {
    tries += 1;
    if (outcome === "made") made += 1;
    if (made >= pass.makes) {
      passed ??= { made, tries };
      [made, tries, ended] = [0, 0, null];
    } else if (tries >= pass.tries) {
      ended = { made, tries };
      [made, tries] = [0, 0];
    }
  }
  return { series: { made, tries }, ended, passed };
}

const of = ({ made, tries }) => `${made} of ${tries}`;

/** That in words; `up` is the rung to go up to, or nothing on the last. */
export function standWords(pass, { series, ended, passed }, up) {
  if (passed) return `${of(passed)}: passed, ${up ? `up to rung ${up}` : "the whole ladder"}.`;
  const mark = `pass ${pass.makes} of ${pass.tries}`;
  if (series.tries) return `${of(series)} so far, ${mark}.`;
  return ended ? `${of(ended)}: not yet, ${mark}.` : `${mark[0].toUpperCase()}${mark.slice(1)}.`;
}
