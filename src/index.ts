/**
 * hands-together: two-hand jazz-piano practice material, computed.
 *
 * Everything is exported from here; each folder is also a subpath (`hands-together/pitch`).
 *
 * @packageDocumentation
 */

export * from "./assess/index.ts";
export * from "./backing/index.ts";
export * from "./chord/index.ts";
export * from "./comping/index.ts";
export * from "./drill/index.ts";
export * from "./event/index.ts";
export * from "./fingering/index.ts";
export type { ErrorArea, MusicErrorCode, MusicErrorDetails, MusicErrorReason } from "./ground/errors.ts";
export { isMusicError, MusicError } from "./ground/errors.ts";
export * from "./handout/index.ts";
export * from "./line/index.ts";
export * from "./midi/index.ts";
export * from "./musicxml/index.ts";
export * from "./picture/index.ts";
export * from "./pitch/index.ts";
export * from "./plan/index.ts";
export * from "./progression/index.ts";
export * from "./scale/index.ts";
export * from "./score/index.ts";
export * from "./swing/index.ts";
export * from "./time/index.ts";
export * from "./voice-leading/index.ts";
export * from "./voicing/index.ts";
