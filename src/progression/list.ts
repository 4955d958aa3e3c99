import type { Beats, Metre } from "../time/index.ts";
import { beats, compareBeats, formatBeats, parseMetre, subtractBeats } from "../time/index.ts";
import { pulsesIn, pulsesOf } from "./lengths.ts";
import type { Reading } from "./reading.ts";
import { linesOf } from "./settle.ts";
import type { Token } from "./tokens.ts";

/** Lines of one and two chords are bars; of more, they are but lines. */
export const linesAreBars = (tokens: readonly Token[]): boolean => {
  const counts = linesOf(tokens)
    .map((line) => line.filter(({ kind }) => kind === "word").length)
    .filter((count) => count > 0);
  return counts.length > 1 && Math.max(...counts) === 2 && Math.min(...counts) === 1;
};

/** Whether single strokes or dashes stand between chords and do not add up to bars as beats. */
export const areSeparators = (tokens: readonly Token[], metre: Metre, reading: Reading): boolean => {
  const marks = tokens.filter((token) => token.kind !== "line");
  const alternate =
    marks.length % 2 === 1 &&
    marks.every((token, i) =>
      i % 2 === 0
        ? token.kind === "word" && token.beats === undefined && token.more === 0
        : token.kind === "strokes" && token.count === 1,
    );
  if (!alternate) return false;
  const dash = marks.some((token) => token.kind === "strokes" && token.sign === "-");
  if (!dash && marks.length % metre.count === 0) return false;
  reading.guess(`${dash ? "-" : "/"} taken as a sign between chords`, marks[1]?.at ?? 0);
  return true;
};

/** Beats are counted, and a bar line put wherever they fill a bar. */
export const withBarLines = (tokens: readonly Token[], metre: Metre, reading: Reading): readonly Token[] => {
  let room = pulsesIn(metre);
  let left = room;
  const made: Token[] = [];
  const starred =
    tokens.some((token) => token.kind === "word" && token.beats !== undefined) &&
    tokens.every((token) => token.kind !== "strokes" && (token.kind !== "word" || token.more === 0));
  const take = (at: number, length: Beats): void => {
    left = subtractBeats(left, length);
    if (left.num > 0) return;
    made.push({ kind: "bar", at, end: at, run: "|", times: undefined });
    left = room;
  };
  tokens.forEach((token, i) => {
    if (token.kind === "strokes" || token.kind === "line") return;
    if (token.kind === "metre") left = room = pulsesIn(reading.within(token.at, 0, () => parseMetre(token.text)));
    if (token.kind !== "word") {
      made.push(token);
      return;
    }
    let strokes = token.more;
    for (let next = tokens[i + 1], k = i + 1; next?.kind === "strokes" || next?.kind === "line"; next = tokens[++k])
      if (next.kind === "strokes") strokes += next.count;
    // Beside chords with beats, one without lasts to the end of its bar.
    const open = starred ? left : beats(1 + strokes);
    let rest = token.beats === undefined ? open : beatsBehind(token.beats, token.at, reading);
    const part = compareBeats(rest, left) < 0 ? rest : left;
    made.push({ ...token, beats: formatBeats(part), more: 0 });
    take(token.at, part);
    rest = subtractBeats(rest, part);
    while (rest.num > 0) {
      const more = compareBeats(rest, left) < 0 ? rest : left;
      if (more.den !== 1) throw reading.refuse("bar lines, where a chord lasts beyond its bar", token.at);
      made.push({ kind: "strokes", at: token.at, end: token.end, count: more.num, sign: "/" });
      take(token.at, more);
      rest = subtractBeats(rest, more);
    }
  });
  reading.guess("no bar lines: bars counted from the beats", tokens[0]?.at ?? 0);
  return made;
};

/** The beats behind `*`. */
export const beatsBehind = (text: string, at: number, reading: Reading): Beats => {
  const length = pulsesOf(text);
  if (length === undefined) throw reading.refuse("a number of beats after *, as in Dm7*3", at);
  return length;
};
