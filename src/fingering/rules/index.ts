import type { FingeringRule } from "./rule.ts";
import { fastWeakPair } from "./fast-weak-pair.ts";
import { fiveOnBlack } from "./five-on-black.ts";
import { fourOnBlack } from "./four-on-black.ts";
import { largeSpan } from "./large-span.ts";
import { positionChangeCount } from "./position-change-count.ts";
import { positionChangeSize } from "./position-change-size.ts";
import { practicalSpan } from "./practical-span.ts";
import { reach } from "./reach.ts";
import { repeatedKey } from "./repeated-key.ts";
import { slides } from "./slides.ts";
import { smallSpan } from "./small-span.ts";
import { stretch } from "./stretch.ts";
import { threeFourFive } from "./three-four-five.ts";
import { threeToFour } from "./three-to-four.ts";
import { thumbOnBlack } from "./thumb-on-black.ts";
import { thumbOnWhite } from "./thumb-on-white.ts";
import { thumbPassing } from "./thumb-passing.ts";
import { turnAfterTurn } from "./turn-after-turn.ts";
import { weakFinger } from "./weak-finger.ts";

const TWELVE: readonly FingeringRule[] = [
  stretch, smallSpan, largeSpan, positionChangeCount, positionChangeSize, weakFinger,
  threeFourFive, threeToFour, fourOnBlack, thumbOnBlack, fiveOnBlack, thumbPassing,
];

/** The rules of the 1997 paper alone. */
export const PARNCUTT_1997: readonly FingeringRule[] = [...TWELVE, practicalSpan];

/** What `fingerPassage` uses: the twelve rules and ours. */
export const STANDARD: readonly FingeringRule[] = [...TWELVE, reach, thumbOnWhite, turnAfterTurn, slides, repeatedKey, fastWeakPair];

/** Every rule once. */
export const ALL_RULES: readonly FingeringRule[] = [...new Set([...PARNCUTT_1997, ...STANDARD])];
