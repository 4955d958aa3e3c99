import type { CountingRule } from "./rare.ts";

export const breath: CountingRule = {
  id: "breath",
  title: "Phrases that go on for many bars without a breath are rare.",
  count: ({ first, last }) => ({ value: Math.floor(last.end - first.at), note: first }),
  say: ({ value }) => ({
    message: `no breath for ${value} quarter notes`,
    suggestion: "rest for a beat where a chord changes",
  }),
};
