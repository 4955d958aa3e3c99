import * as v from "valibot";

const MOST_NOTES = 1_000_000;
const MOST_TICKS = 2 ** 40;

const whole = (from: number, to: number) => v.pipe(v.number(), v.integer(), v.minValue(from), v.maxValue(to));

const note = /* @__PURE__ */ v.looseObject({
  onsetTicks: /* @__PURE__ */ whole(0, MOST_TICKS),
  durationTicks: /* @__PURE__ */ whole(0, MOST_TICKS),
  midi: /* @__PURE__ */ whole(0, 127),
  channel: /* @__PURE__ */ whole(0, 15),
  track: /* @__PURE__ */ whole(0, 65_535),
});

/** What was read from a MIDI file, as far as notation asks. */
export const performanceShape = /* @__PURE__ */ v.looseObject({
  kind: /* @__PURE__ */ v.literal("midi-performance"),
  ticksPerQuarter: /* @__PURE__ */ whole(1, 32_767),
  notes: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(note), /* @__PURE__ */ v.maxLength(MOST_NOTES)),
  tracks: /* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject({})),
});
