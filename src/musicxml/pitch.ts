import type { Pitch } from "../pitch/index.ts";
import { parsePitch } from "../pitch/index.ts";

const SIGNS: Readonly<Record<string, string>> = {
  "-3": "bbb",
  "-2": "bb",
  "-1": "b",
  "0": "",
  "1": "#",
  "2": "##",
  "3": "###",
};

/** A pitch from the texts of `step`, `alter` and `octave`; `undefined` for an alteration that no key has, such as a quarter tone. */
export const writtenPitch = (step: string, alter: string | undefined, octave: string): Pitch | undefined => {
  const sign = SIGNS[alter ?? "0"];
  return sign === undefined ? undefined : parsePitch(`${step}${sign}${octave}`);
};
