import { InvalidArgumentError } from "commander";

/** Reads an option's whole number between two bounds, for commander. */
export const wholeNumber =
  (from: number, to: number) =>
  (text: string): number => {
    const value = Number(text);
    if (!/^-?\d+$/.test(text.trim()) || value < from || value > to)
      throw new InvalidArgumentError(`Expected a whole number from ${from} to ${to}.`);
    return value;
  };

/** The words of a list that is written with spaces or commas. */
export const wordsIn = (text: string): readonly string[] => text.split(/[\s,]+/).filter((word) => word !== "");

/** Reads an option that takes one of a few words, for commander. */
export const oneOf =
  <Word extends string>(words: readonly Word[]) =>
  (text: string): Word => {
    const word = words.find((candidate) => candidate === text);
    if (word === undefined) throw new InvalidArgumentError(`Expected one of ${words.join(", ")}.`);
    return word;
  };

const MOST_SECONDS = 36_000;

/** Reads an option's seconds, with decimals, for commander. */
export const seconds = (text: string): number => {
  const value = Number(text);
  if (!/^-?\d+(\.\d+)?$/.test(text.trim()) || Math.abs(value) > MOST_SECONDS) {
    throw new InvalidArgumentError(`Expected seconds such as 2.4, from -${MOST_SECONDS} to ${MOST_SECONDS}.`);
  }
  return value;
};
