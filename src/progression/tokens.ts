import { NO_CHORD } from "./symbol.ts";

/** What a chart is made of, with its place in the plain text. */
export type Token = { readonly at: number; readonly end: number } & (
  | { readonly kind: "bar"; readonly run: string; readonly times: number | undefined }
  | { readonly kind: "word"; readonly text: string; readonly beats: string | undefined; readonly more: number }
  | { readonly kind: "same"; readonly bars: 1 | 2 }
  | { readonly kind: "strokes"; readonly count: number; readonly sign: string }
  | { readonly kind: "section"; readonly name: string; readonly sure: boolean; readonly times?: number }
  | { readonly kind: "ending"; readonly passes: readonly number[] }
  | { readonly kind: "metre"; readonly text: string }
  | { readonly kind: "key"; readonly text: string }
  | { readonly kind: "sign"; readonly sign: Sign }
  | { readonly kind: "mark"; readonly mark: "hold" | "stop" }
  | { readonly kind: "count"; readonly times: number }
  | { readonly kind: "lasts"; readonly length: string; readonly unit: "bars" | "beats" }
  | { readonly kind: "separator" }
  | { readonly kind: "open"; readonly group: boolean }
  | { readonly kind: "close"; readonly goals: string | undefined }
  | { readonly kind: "line" }
  | { readonly kind: "wrong"; readonly expected: string; readonly hint?: string }
);

/** Signs of the road map. */
export type Sign =
  | "segno"
  | "coda-sign"
  | "coda"
  | "to-coda"
  | "fine"
  | "D.C."
  | "D.C. al Fine"
  | "D.C. al Coda"
  | "D.S."
  | "D.S. al Fine"
  | "D.S. al Coda";

/** A rule of the reader: what stands at a place, and which token it is. */
interface Rule {
  readonly pattern: RegExp;
  /** `undefined` where the match is something else after all. */
  readonly make: (match: RegExpExecArray, context: Context) => Made | undefined;
}
type Made = Token extends infer T ? (T extends Token ? Omit<T, "at" | "end"> : never) : never;

/** What stands before a place. */
interface Context {
  /** Nothing but blanks before it in its line. */
  readonly lineStart: boolean;
  /** A bar line is the last token before it. */
  readonly afterBar: boolean;
  /** Directly behind a bar line, without a blank. */
  readonly atBar: boolean;
}

/** Words that name a part of a form. */
export const SECTION_WORDS =
  "intro(?:duction)?|verse|chorus|pre-?chorus|bridge|outro|tag|interlude|vamp|solos?|head|ending|refrain|release|channel|middle(?: (?:eight|8))?|shout(?: chorus)?|turnaround|theme|break|part|section";

const passesOf = (text: string): readonly number[] => {
  const range = /^(\d)\s*-\s*(\d)$/.exec(text.trim());
  if (range === null) return (text.match(/\d/g) ?? []).map(Number);
  const [from, to] = [Number(range[1]), Number(range[2])];
  return Array.from({ length: Math.max(0, to - from + 1) }, (_, i) => from + i);
};

const jump = (from: string, until: string | undefined): Sign => {
  const start = /^d.?\s*c|capo/i.test(from) ? "D.C." : "D.S.";
  return until === undefined ? start : /fine/i.test(until) ? `${start} al Fine` : `${start} al Coda`;
};

const bracketed = (inner: string): Made | undefined => {
  const text = inner.trim();
  if (/^\d{1,2}\/\d{1,2}$/.test(text)) return { kind: "metre", text };
  if (
    /^\d(?:\s*[,&-]\s*\d)*\s*(?:\.|\)|:|st|nd|rd|th)?$/i.test(text) ||
    /^\d(?:st|nd|rd|th)?\.? (?:ending|time)$/i.test(text)
  )
    return { kind: "ending", passes: passesOf(text.replace(/[a-z.:) ]+$/i, "")) };
  if (/^(?:x ?\d{1,2}|\d{1,2} ?x)$/i.test(text)) return { kind: "count", times: Number(text.replace(/\D/g, "")) };
  const key = /^(?:key(?: of)?|in)\s*[:=]?\s+?(.+)$/i.exec(text) ?? /^key\s*[:=]\s*(.+)$/i.exec(text);
  if (key !== null) return { kind: "key", text: key[1] ?? "" };
  const sign = signNamed(text);
  if (sign !== undefined) return { kind: "sign", sign };
  if (/^(?:hold|fermata|𝄐)$/iu.test(text)) return { kind: "mark", mark: "hold" };
  if (/^(?:stop|stop[- ]?time|cut|choke)$/i.test(text)) return { kind: "mark", mark: "stop" };
  return undefined;
};

/** Whether a name in square brackets is read as the name of a section. */
export const isSectionName = (name: string): boolean =>
  name.trim() === name && /^[^\][|:\n*]{1,24}$/.test(name) && !/[.]$/.test(name) && bracketed(name) === undefined;

const signNamed = (text: string): Sign | undefined => {
  const match = JUMP_ALONE.exec(text);
  if (match !== null) return jump(match[1] ?? "", match[2]);
  if (/^(?:to coda|to 𝄌)$/iu.test(text)) return "to-coda";
  if (/^(?:segno|𝄋)$/iu.test(text)) return "segno";
  if (/^fine$/i.test(text)) return "fine";
  if (/^(?:coda|𝄌 ?coda)$/iu.test(text)) return "coda";
  return text === "𝄌" ? "coda-sign" : undefined;
};
const JUMP = String.raw`(d\.\s?[cs]\.?|d[cs]\.?|da capo|dal segno)(?:\s+al\s+(fine|coda|𝄌))?`;
const JUMP_ALONE = new RegExp(`^${JUMP}$`, "iu");

const SECTION_WORD = new RegExp(`^(?:${SECTION_WORDS})(?: [\\dA-H]+)?$`, "i");

const RULES: readonly Rule[] = [
  { pattern: /\n/y, make: () => ({ kind: "line" }) },
  {
    // ":|", ":|x2", "||:", "|]": a run of bar lines, with a count behind the end of a repeat.
    pattern: /(\[?[|:]*\|[|:]*\]?)(?:\s*\(?\s*(?:(?:\*|x)\s?(\d{1,3})|(\d{1,3}) ?(?:x|times))(?![\w/])\s*\)?)?/iy,
    make: ([whole, run = "", before, behind]) => {
      const count = before ?? behind;
      if (!/^(?:\[?\|{1,2}:?|:\|{1,2}:?|\|{1,2}:|\|{1,2}\]|:\|{1,2}\]|:\|\|:)$/.test(run))
        return { kind: "wrong", expected: "a bar line |, ||, |: or :|" };
      if (count !== undefined && !run.startsWith(":"))
        return whole === run
          ? undefined
          : {
              kind: "wrong",
              expected: "the end of a repeat, :|, before its count",
              hint: `write |: and :|x${count} round the bars that are played ${count} times`,
            };
      return { kind: "bar", run, times: count === undefined ? undefined : Number(count) };
    },
  },
  {
    // "(4 bars)", "(2 beats)": how long the chord before lasts.
    pattern: /([([]?)\s*(\d{1,2}) (bars|measures|beats)\b\s*([)\]]?)/iy,
    make: ([, open, length = "", unit = "", close]) =>
      (open === "") === (close === "")
        ? { kind: "lasts", length, unit: /^beats$/i.test(unit) ? "beats" : "bars" }
        : undefined,
  },
  {
    // "1.", "[2", "1st ending:", directly behind a bar line also a figure alone.
    pattern:
      /\[?(\d(?:\s*[,&]\s*\d|\s?-\s?\d)*)\s*(?:(?:\.|\)|:|st|nd|rd|th)(?: ?(?:ending|time)[.:]?)?(?![\w/])|\.(?=[A-G])|(?=\s|$)|(?<=\[\d)(?=[A-G]))(?!\s*\])/iy,
    make: ([whole, numbers = ""], { afterBar, atBar, lineStart }) =>
      whole.startsWith("[") || (/[.)a-z:]/i.test(whole) ? afterBar || lineStart : atBar)
        ? { kind: "ending", passes: passesOf(numbers) }
        : undefined,
  },
  {
    // "[ii V]/IV": numerals that all lead to one goal.
    pattern: /\[(?=[^\][]{1,80}\]\s?\/\s?[b#♭♯]?[IViv])/y,
    make: () => ({ kind: "open", group: true }),
  },
  { pattern: /\]\s?\/\s?([b#♭♯]?[IViv]+(?:\/[b#♭♯]?[IViv]+)*)/y, make: ([, goals]) => ({ kind: "close", goals }) },
  {
    pattern: /\[([^\][|\n]{1,40})\]/y,
    make: ([, inner = ""]) => {
      const name = inner.trim();
      return (
        bracketed(name) ??
        (name === "" || /:/.test(name)
          ? { kind: "wrong", expected: "a section name of up to 24 characters, as in [A]" }
          : name.length > 24
            ? { kind: "wrong", expected: "a section name of up to 24 characters, as in [A]" }
            : { kind: "section", name: name.replace(/[.:]$/, ""), sure: true })
      );
    },
  },
  {
    pattern: /[[\]]/y,
    make: () => ({
      kind: "wrong",
      expected: "a section name of up to 24 characters, as in [A]",
      hint: "write |: and :| round bars that are repeated",
    }),
  },
  {
    pattern: /\(([^()|\n]{1,40})\)/y,
    make: ({ 0: whole, 1: inner = "", index, input }, { lineStart }) => {
      const lineEnd = /^[ \t]*(?:\n|$)/.test(input.slice(index + whole.length, index + whole.length + 80));
      const found = bracketed(inner);
      if (found !== undefined) return found;
      const name = inner.trim();
      const letter = /^[A-H][1-9]?'?$/.test(name) && (lineEnd || /^[A-H][1-58]/.test(name));
      return lineStart && (letter || SECTION_WORD.test(name)) ? { kind: "section", name, sure: false } : undefined;
    },
  },
  {
    pattern: new RegExp(`${JUMP}(?![\\w/#♭♯])\\.?`, "iuy"),
    make: ([, from = "", until]) => ({ kind: "sign", sign: jump(from, until) }),
  },
  { pattern: /to (?:coda|𝄌)(?: 𝄌)?(?!\w)/iuy, make: () => ({ kind: "sign", sign: "to-coda" }) },
  { pattern: /(?:𝄌 ?)?coda(?: 𝄌)?(?!\w):?/iuy, make: () => ({ kind: "sign", sign: "coda" }) },
  { pattern: /𝄌/uy, make: () => ({ kind: "sign", sign: "coda-sign" }) },
  { pattern: /𝄋|segno(?!\w):?/iuy, make: () => ({ kind: "sign", sign: "segno" }) },
  { pattern: /fine(?!\w)/iy, make: () => ({ kind: "sign", sign: "fine" }) },
  { pattern: /𝄐|(?:hold|fermata)(?!\w)/iuy, make: () => ({ kind: "mark", mark: "hold" }) },
  { pattern: /stop(?!\w)/iy, make: () => ({ kind: "mark", mark: "stop" }) },
  {
    pattern: new RegExp(
      `((?:${SECTION_WORDS})(?: ?[\\dA-H]'?)?)(?: ?\\(?(?:x ?(\\d{1,2})|(\\d{1,2}) ?(?:x|times))\\)?)?(?:\\s*:(?!\\|)|(?=\\s*(?:\\n|$)))`,
      "iy",
    ),
    make: ([, name = "", a, b], { lineStart, afterBar }) =>
      lineStart || afterBar
        ? {
            kind: "section",
            name: name.trim(),
            sure: true,
            ...((a ?? b) !== undefined && { times: Number(a ?? b) }),
          }
        : undefined,
  },
  {
    pattern: /([A-H]\d?'?)[ -](?:section|part|theme)\b\s*:?/iy,
    make: ([, name = ""], { lineStart, afterBar }) =>
      lineStart || afterBar ? { kind: "section", name: name.toUpperCase(), sure: true } : undefined,
  },
  {
    // "A:" before chords; "C:maj7" and "C:|" are chords.
    pattern: /([A-Z]['\d]{0,2}'?)\s?:(?=\s)(?!\s*[|:])|([A-Z]['\d]{0,2}'?)\s?:(?=\s*\|)(?!\|)|([A-Z]\d?'?)\)(?=\s)/y,
    make: ([, plain, barred, bracket], { lineStart, afterBar }) => {
      const name = plain ?? barred ?? bracket;
      return name !== undefined && (lineStart || (afterBar && bracket === undefined))
        ? { kind: "section", name, sure: true }
        : undefined;
    },
  },
  {
    // "Eb: ii V", "c minor: i iv": a change of key, as analysts write it.
    pattern: /([A-Ga-g](?:[b#♭♯]|(?:[b#♭♯]?(?:m|\s(?:major|minor)))))\s?:(?=\s)(?!\s*\|)/y,
    make: ([, text = ""]) => ({ kind: "key", text }),
  },
  {
    pattern: /(\d{1,2}\/(?:16|2|4|8))(?![\w/])(?: time\b)?(?:\s?:(?!\|))?/y,
    make: ([, text = ""]) => ({ kind: "metre", text }),
  },
  {
    pattern: /(?:(?:[Pp]lay(?:ed)?|[Rr]epeat)\s+)?(?:x ?(\d{1,2})|(\d{1,2}) ?(?:x|times))(?!\w):?/y,
    make: ([, a, b]) => ({ kind: "count", times: Number(a ?? b) }),
  },
  {
    pattern: /(?:N\.? ?\/?C\.?|no[ -]chord|tacet)(?![\w#♭♯/])/iy,
    make: ([text]) => (NO_CHORD.test(text) ? { kind: "word", text: "N.C.", beats: undefined, more: 0 } : undefined),
  },
  {
    pattern: /%%|\.\/\/\.|\/\/(?=\s*(?:\||$|\n))/y,
    make: ([text], { afterBar }) => (text === "//" && !afterBar ? undefined : { kind: "same", bars: 2 }),
  },
  { pattern: /%|\.\/\./y, make: () => ({ kind: "same", bars: 1 }) },
  { pattern: /"(?=\s*(?:\||\n|$))/y, make: (_, { afterBar }) => (afterBar ? { kind: "same", bars: 1 } : undefined) },
  { pattern: /->|=>|[,;]/y, make: () => ({ kind: "separator" }) },
  {
    pattern: /([/._-])(?:\s?\1){0,31}(?=[\s|\]),;]|$)/y,
    make: ([text, sign = ""]) => ({ kind: "strokes", count: text.replace(/\s/g, "").length, sign }),
  },
  {
    pattern: /\((?=\s*(?:[A-G](?!dd|DD|lt|LT|ug|UG|im|IM)|[Nn]\.?[Cc]|[b#♭♯]?(?:sub)?[IViv]))/y,
    make: () => ({ kind: "open", group: false }),
  },
  { pattern: /\)/y, make: () => ({ kind: "close", goals: undefined }) },
];

/** The tokens of a plain text; each character is read a bounded number of times. */
export const tokensOf = (text: string, from: number): readonly Token[] => {
  const tokens: Token[] = [];
  let at = from;
  while (at < text.length) {
    if (text.charAt(at) === " " || text.charAt(at) === "\t") {
      at++;
      continue;
    }
    const token = tokenAt(text, at, tokens.at(-1));
    tokens.push(token);
    at = token.end;
  }
  return tokens;
};

// What most of a chart is made of: a plain chord symbol, a bar line with no count behind it. No rule reads them otherwise.
const PLAIN_WORD =
  /[A-G](?:b|#)?(?:maj|m|-|dim|aug|sus|o|ø|Δ|°)?(?:6|7|9|11|13)?(?:(?:b|#)(?:5|9|11|13))*(?=[ \n]|$)(?! (?:section|part|theme)\b| (?:major|minor) ?:)/y;
const PLAIN_BAR = /\|(?= *[A-GIVivb#\n])/y;

const tokenAt = (text: string, at: number, before: Token | undefined): Token => {
  PLAIN_BAR.lastIndex = PLAIN_WORD.lastIndex = at;
  if (PLAIN_BAR.test(text) && text.charAt(at - 1) !== ":" && text.charAt(at - 1) !== "[")
    return { kind: "bar", run: "|", times: undefined, at, end: at + 1 };
  const word = PLAIN_WORD.exec(text)?.[0];
  if (word !== undefined) return { kind: "word", text: word, beats: undefined, more: 0, at, end: at + word.length };
  const context = {
    lineStart: before === undefined || before.kind === "line",
    afterBar: before?.kind === "bar",
    atBar: before?.kind === "bar" && before.end === at,
  };
  for (const { pattern, make } of RULES) {
    pattern.lastIndex = at;
    const match = pattern.exec(text);
    const made = match === null ? undefined : make(match, context);
    if (match !== null && made !== undefined) return { ...made, at, end: at + match[0].length };
  }
  return wordAt(text, at);
};

const LONGEST_WORD = 200;

// A chord's characters; what stands in brackets belongs to it, unless it is a chord itself.
const wordAt = (text: string, start: number): Token => {
  let at = start;
  let depth = 0;
  for (; at < text.length && at - start < LONGEST_WORD; at++) {
    const c = text.charAt(at);
    if (c === "|" || c === "\n" || c === "[" || c === "]" || c === "_") break;
    if (depth === 0 && (c === " " || c === "\t" || c === "," || c === ";" || c === "%" || text.startsWith("𝄐", at)))
      break;
    if (c === ":" && /^:(?:[\s|:]|$)/.test(text.slice(at, at + 2))) break;
    if ((c === "-" || c === "=") && text.charAt(at + 1) === ">") break;
    if (
      c === "(" &&
      depth === 0 &&
      at > start &&
      /^\(\s*(?:[A-G](?!dd|DD|lt|LT|ug|UG|im|IM)|[Nn]\.?[Cc]|x ?\d|\d+ ?x|hold|stop|fermata|[dD]\.? ?[cCsS]|fine|Fine)/.test(
        text.slice(at, at + 12),
      )
    )
      break;
    if (c === "(") depth++;
    if (c === ")") {
      if (depth === 0) break;
      depth--;
    }
  }
  if (at === start) at++;
  const raw = text.slice(start, at).trimEnd();
  const end = start + Math.max(1, raw.length);
  const [, bare = raw, stars] = /^((?:[^*(]|\([^()]*\))*)\*(.*)$/.exec(raw) ?? [];
  if (stars !== undefined) return { kind: "word", at: start, end, text: bare, beats: stars, more: 0 };
  // "Dm7///" and "Dm7...": the strokes that follow it.
  const [, chord = raw, strokes = ""] = /^(.*[^/.])(\/+|\.+)$/.exec(raw) ?? [];
  return { kind: "word", at: start, end, text: chord, beats: undefined, more: strokes.length };
};
