/** The middle one. */
export const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] as number;

/** Median wall-clock milliseconds of so many runs; each is told its number. */
export const medianTime = (run: (turn: number) => unknown, times: number): number =>
  median(
    Array.from({ length: times }, (_, turn) => {
      const start = performance.now();
      run(turn);
      return performance.now() - start;
    }),
  );

/** Processor milliseconds of one run, which other work on the machine does not stretch. */
export const processorTime = (work: () => void): number => {
  const start = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(start);
  return (user + system) / 1000;
};
