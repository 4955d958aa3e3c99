// The folders that lines stand on, and no others: loading the writers would take longer than most of these tests.

export * from "../../src/event/index.ts";
export * from "../../src/ground/errors.ts";
export * from "../../src/line/index.ts";
export * from "../../src/pitch/index.ts";
export * from "../../src/progression/index.ts";
export * from "../../src/scale/index.ts";
export * from "../../src/time/index.ts";
