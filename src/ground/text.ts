/** A text cut to so many characters, its end marked where it was longer. */
export const shortened = (text: string, most: number): string =>
  text.length > most ? `${text.slice(0, most - 3)}...` : text;

/**
 * The candidate nearest to a misspelt word by edit distance, for hints.
 *
 * @param word - what was written
 * @param candidates - the valid names, in the order in which ties are won
 * @returns the nearest candidate within half the word's length (at least two edits), or `undefined` when none is near
 */
export function nearestName(word: string, candidates: readonly string[]): string | undefined {
  let best: string | undefined;
  let limit = Math.max(2, Math.floor(word.length / 2)) + 1;
  const typed = word.slice(0, 64).toLowerCase();
  for (const candidate of candidates) {
    const distance = editDistance(typed, candidate.toLowerCase());
    if (distance < limit) {
      best = candidate;
      limit = distance;
    }
  }
  return best;
}

// Levenshtein, V. I. (1966). Binary codes capable of correcting deletions, insertions, and reversals.
const editDistance = (a: string, b: string): number => {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 0; i < a.length; i++) {
    let left = 0;
    row = row.map(
      (above, j) =>
        (left =
          j === 0 ? above + 1 : Math.min((row[j - 1] as number) + (a[i] === b[j - 1] ? 0 : 1), above + 1, left + 1)),
    );
  }
  return row[b.length] as number;
};
