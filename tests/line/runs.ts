/** How many cases a law is tried on: a twentieth where the sources are changed one thing at a time and every change runs the tests. */
export const runs = (full: number): number =>
  process.env.MUTATE === undefined ? full : Math.max(5, Math.ceil(full / 20));
