import type { Reading } from "./reading.ts";

/** A line of the text with its place. */
interface Line {
  readonly at: number;
  readonly text: string;
}

const linesIn = (text: string): readonly Line[] => {
  let at = 0;
  return text.split("\n").map((line) => {
    const own = { at, text: line };
    at += line.length + 1;
    return own;
  });
};

/**
 * Clears what a page, an e-mail or a table puts round a chart and what is no part of it: marks of quotation, fences and headings of marked-up
 * text, rules of tables, bullets, bar numbers, quotation marks of exported cells. Places stay as they were.
 */
export const clearPage = (reading: Reading): void => {
  for (const line of linesIn(reading.text)) {
    clearMatch(reading, line, /^\s*(?:>\s?)+/, "a mark of quotation left out");
    clearMatch(reading, line, /^\s*(?:'{3}|~{3})\s*\w*\s*$/, "a fence of marked-up text left out");
    clearMatch(reading, line, /^\s*#{1,6}\s+(?=\S)/, "a mark of a heading left out");
  }
  for (const { index, 0: bold, 1: name = "" } of reading.text.matchAll(
    /^[ \t]*\*\*([^*\n]+)\*\*(?=[ \t]*:?[ \t]*$)/gm,
  )) {
    const from = index + bold.indexOf(name);
    reading.clear(from - 2, from);
    reading.clear(from + name.length, from + name.length + 2);
  }
  clearTable(reading);
  clearBullets(reading);
  clearBarNumbers(reading);
  // "Dm7","G7": cells of a table as text.
  for (const { at, text } of linesIn(reading.text)) {
    if (!/^\s*"/.test(text)) continue;
    for (const { 0: cell, index } of text.matchAll(/"(?=[A-G%N(][^"|]{0,40}")[^"|]+"/g)) {
      reading.clear(at + index, at + index + 1);
      reading.clear(at + index + cell.length - 1, at + index + cell.length);
    }
  }
};

const clearMatch = (reading: Reading, { at, text }: Line, pattern: RegExp, what: string): void => {
  const match = pattern.exec(text);
  if (match === null) return;
  reading.guess(what, at);
  reading.clear(at, at + match[0].length);
};

const RULE = /^\s*(?:[|+]?\s*:?-{3,}:?\s*(?:[|+]\s*:?-{3,}:?\s*)+[|+]?|[|+]\s*:?-{3,}:?\s*[|+]|[-=_*~]{4,})\s*$/;

// Below the head of a table stands a row of dashes; the head itself may count bars.
const clearTable = (reading: Reading): void => {
  const lines = linesIn(reading.text);
  lines.forEach((line, i) => {
    if (!RULE.test(line.text)) return;
    reading.guess("a row of dashes taken as a rule between lines", line.at);
    reading.clear(line.at, line.at + line.text.length);
    const head = lines[i - 1];
    if (head === undefined || !line.text.includes("|")) return;
    const cells = head.text.split("|").filter((cell) => cell.trim() !== "");
    if (cells.length > 1 && cells.every((cell) => /^\s*(?:(?:bar|measure|takt|m\.?)\s*)?\d{1,3}\s*$/i.test(cell))) {
      reading.guess("bar numbers left out", head.at);
      reading.clear(head.at, head.at + head.text.length);
    }
  });
};

const BULLET = /^\s*[-*+.]\s+(?=[A-Za-z(|[%])/;

// A bullet is no beat where every line from the first one on has one, and no chord stands before it.
const clearBullets = (reading: Reading): void => {
  const lines = linesIn(reading.text).filter(({ text }) => text.trim() !== "");
  const first = lines.findIndex(({ text }) => BULLET.test(text));
  const music = lines.slice(first);
  if (first < 0 || music.length < 2 || !music.every(({ text }) => BULLET.test(text))) return;
  if (lines.slice(0, first).some(({ text }) => /\||(?:^|\s)[A-G][b#]?(?:m|maj|-)?[0-9]*(?=\s|$)/.test(text))) return;
  for (const line of music) clearMatch(reading, line, BULLET, "a bullet left out");
};

const NUMBER =
  /(^|[|\n])([^\S\n]*(?:(?:bars?|measures?|takt|mm?\.)\s*)?\(?(\d{1,3})(?:\s?-\s?\d{1,3})?(?:[.:)](?!\|)|(?=\s))[^\S\n]*)(?=[^\s\d/])/gi;

// Numbers before every bar that run 1, 2, 3; or before lines, where no endings are meant.
const clearBarNumbers = (reading: Reading): void => {
  const { text } = reading;
  const found = [...text.matchAll(NUMBER)]
    .map(({ index, 1: edge = "", 2: mark = "", 3: number = "" }) => ({
      from: index + edge.length,
      to: index + edge.length + mark.length,
      number: Number(number),
      atLine: edge !== "|",
      named: /[a-z]/i.test(mark),
    }))
    .filter(({ atLine, to }) => atLine || text.charAt(to) !== "|");
  const cells = text.split(/[|\n]/).filter((cell) => /[A-Za-z%]/.test(cell));
  const repeats = /:\s*\||\|\s*:/.test(text);
  const everyBar =
    found.length > 2 &&
    !repeats &&
    found.length >= cells.length - 1 &&
    found.every(({ number }, i) => i === 0 || number === (found[i - 1]?.number ?? 0) + 1);
  const inLines = found.filter(({ atLine }) => atLine);
  const rising = inLines.every(({ number }, i) => i === 0 || number > (inLines[i - 1]?.number ?? 0));
  const leaps = inLines.some(({ number }, i) => number - (inLines[i - 1]?.number ?? number) > 1);
  const everyLine =
    inLines.length > 1 &&
    rising &&
    (inLines[0]?.number ?? 9) <= 1 &&
    (!repeats || (leaps && inLines.length === found.length)) &&
    (leaps || inLines.every(({ named }) => named) || inLines.length >= linesIn(text).filter(isMusic).length);
  const numbers = everyBar ? found : everyLine ? inLines : found.filter(({ named }) => named);
  for (const { from, to } of numbers) {
    reading.guess("a bar number left out", from);
    reading.clear(from, to);
  }
};

const isMusic = ({ text }: Line): boolean => /[A-G][^a-z\s]|\||(?:^|\s)[A-G](?:\s|$)/.test(text);
