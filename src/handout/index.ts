/**
 * Pages to print and to play: handouts, and the index of a packet.
 *
 * @module handout
 */
export type { PacketEntry } from "./packet-index.ts";
export { packetIndex } from "./packet-index.ts";
