import { shortened } from "../ground/text.ts";
import type { Heading } from "./heading.ts";
import { fieldLine } from "./heading.ts";
import { looksLikeNumeral } from "./numeral.ts";
import type { Reading } from "./reading.ts";
import { readSymbol } from "./symbol.ts";
import type { Token } from "./tokens.ts";

type Word = Extract<Token, { kind: "word" }>;
type Section = Extract<Token, { kind: "section" }>;

/** Settles what one token alone does not tell: coda signs, lines of words, letters that name sections, qualities behind a blank. */
export const settle = (tokens: readonly Token[], reading: Reading, heading: Heading): readonly Token[] => {
  const music = withoutWords(tokens, reading, heading);
  const signs = countedSections(codaSigns(inBrackets(music, reading)));
  return withoutAnalysis(glued(keyLabels(sectionLetters(signs, reading), reading), reading), reading);
};

export const linesOf = (tokens: readonly Token[]): readonly (readonly Token[])[] => {
  const lines: Token[][] = [[]];
  for (const token of tokens) {
    lines.at(-1)?.push(token);
    if (token.kind === "line") lines.push([]);
  }
  return lines;
};

const plainWord = (text: string, at: number, end: number): Word => ({
  kind: "word",
  at,
  end,
  text,
  beats: undefined,
  more: 0,
});

// Lines of a heading further down, and lines of words.
const withoutWords = (tokens: readonly Token[], reading: Reading, heading: Heading): readonly Token[] => {
  const lines = linesOf(tokens);
  return lines.flatMap((line) => {
    const [first] = line;
    if (first === undefined) return line;
    const words = line.filter((token) => token.kind === "word");
    const unread = words.filter(({ text }) => /[a-z]{2}/i.test(text) && !reading.isChord(text));
    if (hasChordInBrackets(line) && unread.length > 0 && !line.some(({ kind }) => kind === "bar")) {
      reading.guess("words between chords in brackets left out", unread[0]?.at ?? first.at);
      return line.filter((token) => token.kind === "section" || token.kind === "line");
    }
    if (lines.length < 2) return line;
    const text = reading.text.slice(first.at).split("\n")[0] ?? "";
    if (fieldLine(reading, heading, text, first.at)) return [{ ...first, kind: "line" }];
    if (line.some(({ kind }) => kind === "bar") || unread.length < 2 || 2 * unread.length <= words.length) return line;
    reading.guess("a line of words left out", first.at);
    return line.filter(({ kind }) => kind === "line");
  });
};

const ROOT_ALONE = /^[A-G][b#♭♯]?$/;

/** A name in square brackets that can only be a chord, such as [Am7]; [A1] names a section. */
export const isChordInBrackets = (name: string): boolean =>
  /^[A-G][b#♭♯]?(?:[a-zΔø°+/-].*|[679].*|1[13].*)$/.test(name) &&
  !/^[A-H][1-58]'?$/.test(name) &&
  readSymbol(name) !== undefined;

const hasChordInBrackets = (line: readonly Token[]): boolean =>
  line.some((token) => token.kind === "section" && isChordInBrackets(token.name));

// [G] beside [Am] is a chord, and so are letters that follow one another with nothing to play between them.
const inBrackets = (tokens: readonly Token[], reading: Reading): readonly Token[] => {
  const square = (token: Token | undefined): token is Section =>
    token?.kind === "section" && reading.text.charAt(token.at) === "[";
  const chords = new Set<Token>();
  for (const line of linesOf(tokens)) {
    const among = line.filter(square);
    const beside = among.some(({ name }) => isChordInBrackets(name));
    line.forEach((token, i) => {
      if (!square(token)) return;
      const lonely = square(line[i + 1]) || square(line[i - 1]);
      if (ROOT_ALONE.test(token.name) ? beside || (lonely && among.length > 2) : isChordInBrackets(token.name))
        chords.add(token);
    });
  }
  return tokens.map((token) => {
    if (token.kind !== "section" || !chords.has(token)) return token;
    reading.guess(`[${token.name}] taken as a chord`, token.at);
    return plainWord(token.name, token.at, token.end);
  });
};

// Of two coda signs the first leads there and the second is the place; so a sign and a word.
const codaSigns = (tokens: readonly Token[]): readonly Token[] => {
  const signs = tokens.filter((token) => token.kind === "sign" && token.sign === "coda-sign");
  if (signs.length === 0) return tokens;
  const hasCoda = tokens.some((token) => token.kind === "sign" && token.sign === "coda");
  const last = signs.at(-1);
  return tokens.map((token) =>
    token.kind === "sign" && token.sign === "coda-sign"
      ? { ...token, sign: token === last && !hasCoda ? ("coda" as const) : ("to-coda" as const) }
      : token,
  );
};

// "[A] x2": the section is played twice.
const countedSections = (tokens: readonly Token[]): readonly Token[] =>
  tokens.flatMap((token, i) => {
    const [before, next] = [tokens[i - 1], tokens[i + 1]];
    if (token.kind === "count" && before?.kind === "section" && before.times === undefined) return [];
    return token.kind === "section" && next?.kind === "count" && token.times === undefined
      ? { ...token, times: next.times }
      : token;
  });

// Letters alone at the beginning of lines that run A, B … name sections, on a line of their own or before a bar line.
const sectionLetters = (tokens: readonly Token[], reading: Reading): readonly Token[] => {
  const lines = linesOf(tokens)
    .map((line) => line.filter(({ kind }) => kind !== "line"))
    .filter((line) => line.length > 0)
    // "A (8 bars)" above its bars.
    .map((line) => (line.length === 2 && line[1]?.kind === "lasts" ? line.slice(0, 1) : line));
  const lettered = lines.filter(([first]) => first?.kind === "word" && /^[A-H][1-9]?'?$/.test(first.text));
  const alone = lettered.filter((line) => line.length === 1);
  const barred = lettered.filter(([, second]) => second?.kind === "bar" && !second.run.startsWith(":"));
  const named =
    runsOn(alone) && lines.some((line) => line.length > 1)
      ? alone
      : runsOn(barred) && barred.length === lines.length && barred.length > 1
        ? barred
        : [];
  const firsts = new Set(named.map(([first]) => first));
  const isCount = (token: Token, i: number): boolean => token.kind === "lasts" && firsts.has(tokens[i - 1]);
  return tokens.flatMap((token, i): readonly Token[] => {
    if (isCount(token, i)) return [];
    if (!firsts.has(token) || token.kind !== "word") return [token];
    reading.guess("a letter at the beginning of a line taken as the name of a section", token.at);
    return [{ kind: "section", at: token.at, end: token.end, name: token.text, sure: true }];
  });
};

// "C: I vi ii V | G: ii V I": before numerals a letter with a colon may be a key.
const keyLabels = (tokens: readonly Token[], reading: Reading): readonly Token[] => {
  const isLabel = (token: Token, i: number): token is Section => {
    const next = tokens[i + 1];
    return (
      token.kind === "section" &&
      /^[A-G]$/.test(token.name) &&
      reading.text.charAt(token.end - 1) === ":" &&
      next?.kind === "word" &&
      looksLikeNumeral(next.text)
    );
  };
  const labels = tokens.filter(isLabel);
  const letters = labels.map(({ name }) => name);
  const [first] = labels;
  if (first === undefined) return tokens;
  if (inOrder(letters)) {
    if (new Set(letters).size > 1) return tokens;
    throw reading.refuse(
      "one reading",
      first.at,
      `write [${first.name}] for a section, [key: ${first.name}] for a key`,
    );
  }
  return tokens.map((token, i) =>
    isLabel(token, i) ? { kind: "key", at: token.at, end: token.end, text: token.name } : token,
  );
};

// "C7 b9", "Eb7 (b9 #11)", "D min7": what can't stand alone belongs to the chord before.
const glued = (tokens: readonly Token[], reading: Reading): readonly Token[] => {
  const done: Token[] = [];
  for (const token of tokens) {
    const before = done.at(-1);
    if (token.kind === "word" && before?.kind === "word" && before.more === 0 && before.beats === undefined) {
      const over = /^(?:over|\/)$/.test(before.text) ? done.at(-2) : undefined;
      if (over?.kind === "word" && ROOT_ALONE.test(token.text) && reading.isChord(over.text)) {
        reading.guess(`${over.text} over ${token.text} taken as ${over.text}/${token.text}`, over.at);
        done.splice(-2, 2, { ...token, at: over.at, text: `${over.text}/${token.text}` });
        continue;
      }
      const whole = before.text + token.text;
      if (!reading.isChord(token.text) && reading.isChord(before.text) && reading.isChord(whole)) {
        reading.guess(`${shortened(`${before.text} ${token.text}`, 24)} taken as one chord`, before.at);
        done[done.length - 1] = { ...token, at: before.at, text: whole };
        continue;
      }
    }
    if (token.kind === "lasts" && token.unit === "beats" && before?.kind === "word" && before.beats === undefined) {
      done[done.length - 1] = { ...before, beats: token.length };
      continue;
    }
    const timed = token.kind === "word" ? beatsBehindColon(token, reading) : undefined;
    if (timed !== undefined) {
      done.push(timed);
      continue;
    }
    const parts = token.kind === "word" && !reading.isChord(token.text) ? listParts(token, reading) : undefined;
    done.push(...(parts ?? [token]));
  }
  return done;
};

// "Dm7:2": beats behind a colon, where no published notation has a chord so.
const beatsBehindColon = (token: Word, reading: Reading): Word | undefined => {
  const [, text, beats] = /^([^:]+):(\d{1,2})$/.exec(token.text) ?? [];
  if (text === undefined || beats === undefined || token.beats !== undefined || token.more > 0) return undefined;
  if (reading.isChord(token.text) || !reading.isChord(text)) return undefined;
  reading.guess(`${token.text} taken as ${text} for ${beats} beats`, token.at);
  return { ...token, text, beats };
};

// "Dm7-G7-Cmaj7", "ii-V-I": a list with dashes and no blanks.
const listParts = (token: Word, reading: Reading): readonly Token[] | undefined => {
  if (!/.-[A-GIVivb#]/.test(token.text) || token.more > 0 || token.beats !== undefined) return undefined;
  const texts = token.text.split(/-(?=[A-GIViv]|[b#][IViv])/);
  if (texts.length < 2 || !texts.every((text) => reading.isChord(text))) return undefined;
  let at = token.at;
  return texts.flatMap((text, i): Token[] => {
    const word = plainWord(text, at, at + text.length);
    at += text.length + 1;
    return i === 0 ? [word] : [{ kind: "separator", at: word.at - 1, end: word.at }, word];
  });
};

// "Dm7 (ii) | G7 (V)": what the chords are in the key, beside them.
const withoutAnalysis = (tokens: readonly Token[], reading: Reading): readonly Token[] => {
  const isAnalysis = (i: number): boolean => {
    const [chord, open, numeral, close] = tokens.slice(i - 1, i + 3);
    return (
      chord?.kind === "word" &&
      !looksLikeNumeral(chord.text) &&
      open?.kind === "open" &&
      !open.group &&
      numeral?.kind === "word" &&
      looksLikeNumeral(numeral.text) &&
      close?.kind === "close" &&
      close.goals === undefined
    );
  };
  return tokens.filter((token, i) => {
    if (isAnalysis(i)) reading.guess("a numeral in brackets beside its chord left out", token.at);
    return !(isAnalysis(i) || isAnalysis(i - 1) || isAnalysis(i - 2));
  });
};

/** Whether letters run A, B …, each at most one further than those before. */
const inOrder = (letters: readonly string[]): boolean => {
  let next = "A";
  return letters.every((letter) => {
    if (letter > next) return false;
    if (letter === next) next = String.fromCharCode(next.charCodeAt(0) + 1);
    return true;
  });
};

const runsOn = (lines: readonly (readonly Token[])[]): boolean =>
  lines.length > 0 && inOrder(lines.map(([first]) => (first?.kind === "word" ? first.text.charAt(0) : "")));
