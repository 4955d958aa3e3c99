// Every public name, for tests: the root holds what an app or a script needs, the subpaths all of it.

export * from "../src/assess/index.ts";
export * from "../src/backing/index.ts";
export * from "../src/chord/index.ts";
export * from "../src/comping/index.ts";
export * from "../src/drill/index.ts";
export * from "../src/event/index.ts";
export * from "../src/fingering/index.ts";
export * from "../src/ground/errors.ts";
export * from "../src/handout/index.ts";
export * from "../src/harmony/index.ts";
export * from "../src/line/index.ts";
export * from "../src/line-model/index.ts";
export * from "../src/midi/index.ts";
export * from "../src/musicxml/index.ts";
export * from "../src/picture/index.ts";
export * from "../src/pitch/index.ts";
export * from "../src/plan/index.ts";
export * from "../src/progression/index.ts";
export * from "../src/recipe/index.ts";
export * from "../src/scale/index.ts";
export * from "../src/schedule/index.ts";
export * from "../src/score/index.ts";
export * from "../src/swing/index.ts";
export * from "../src/time/index.ts";
export * from "../src/voice-leading/index.ts";
export * from "../src/voicing/index.ts";
