import * as fc from "fast-check";

// What the tests get in place of fast-check at night: every law on LAW_RUNS cases (10,000), or as many as LAW_SECONDS (300) allow, which is said.
const RUNS = Number(process.env.LAW_RUNS ?? 10_000);
const SECONDS = Number(process.env.LAW_SECONDS ?? 300);

const tell = <Ts>(details: fc.RunDetails<Ts>): void => {
  const message = fc.defaultReportMessage(details);
  if (details.failed && !(details.interrupted && details.counterexample === null))
    throw new Error(message, { cause: details.errorInstance });
  if (details.interrupted) console.log(`${details.numRuns} of ${RUNS} cases in ${SECONDS} s`);
};

const atNight = <Ts>(params: fc.Parameters<Ts> = {}): fc.Parameters<Ts> => ({
  ...params,
  numRuns: Math.max(RUNS, params.numRuns ?? 0),
  interruptAfterTimeLimit: 1000 * SECONDS,
  markInterruptAsFailure: false,
});

export function assert<Ts>(
  property: fc.IAsyncProperty<Ts> | fc.IProperty<Ts>,
  params?: fc.Parameters<Ts>,
): Promise<void> | void {
  const details: Promise<fc.RunDetails<Ts>> | fc.RunDetails<Ts> = fc.check(
    property as fc.IProperty<Ts>,
    atNight(params),
  );
  return details instanceof Promise ? details.then(tell) : tell(details);
}

export * from "fast-check";
export default { ...fc, assert };
