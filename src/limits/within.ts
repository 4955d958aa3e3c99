import * as v from "valibot";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Limits } from "../ground/watch.ts";
import { watched } from "../ground/watch.ts";

const some = (most: number) => v.optional(v.pipe(v.number(), v.minValue(0), v.maxValue(most)));
const callback = /* @__PURE__ */ (() => v.optional(v.function()))();
const limitsShape = /* @__PURE__ */ (() =>
  v.strictObject({
    bars: some(1e9),
    notes: some(1e9),
    bytes: some(1e12),
    milliseconds: some(1e9),
    now: callback,
    signal: v.optional(v.looseObject({ aborted: v.boolean() })),
    onProgress: callback,
  }))();
const workShape = /* @__PURE__ */ (() => v.function())();

/**
 * Does a piece of work under limits of yours: whatever functions of this library it calls refuse what would hold more bars, notes or bytes, and
 * stop when time is up or a signal is aborted. The answer is the same as without limits, or none.
 *
 * Work is done in one go. Milliseconds go by the clock that you give and are looked at every few hundred microseconds; an `AbortSignal` can only
 * change between pieces of work, as between the drills of a packet, or in a worker. What comes back as a promise is not watched any more.
 *
 * @returns what the work returns
 * @throws MusicError with the reason `cannot-be-done`: `limits/bars`, `limits/notes`, `limits/bytes`, `limits/milliseconds`, `limits/aborted`;
 * `limits/argument` for milliseconds without a clock
 *
 * @example
 * ```ts
 * import { makeDrill } from "hands-together";
 * import { within } from "hands-together/limits";
 *
 * const limits = { bars: 64, notes: 4000, milliseconds: 5000, now: () => performance.now() };
 * within(limits, () => makeDrill({ key: "Eb" }).score.bars); // => 4
 * within(limits, () => makeDrill({ key: "Eb", repeats: 50 })); // throws "limits/bars"
 * ```
 */
export function within<T>(limits: Limits, work: () => T): T {
  check(limitsShape, limits, "limits/argument");
  check(workShape, work, "limits/argument");
  if (limits.milliseconds !== undefined && limits.now === undefined)
    throw new MusicError({
      code: "limits/argument",
      input: "milliseconds alone",
      expected: "your clock as now beside milliseconds, a function that answers in milliseconds",
    });
  return watched(limits, work);
}
