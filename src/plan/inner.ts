/** What other folders of this library use beside the index. */

export type { DayShape } from "./day.ts";
export { partsOfDay } from "./day.ts";
