/**
 * Following live: keys as they come, held against a score at once.
 *
 * @module follow
 */

export type {
  FollowedNote,
  Follower,
  FollowOptions,
  FollowPlace,
  FollowReport,
  KeyOptions,
} from "./follow.ts";
export { follow } from "./follow.ts";
