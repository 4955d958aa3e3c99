/** A text in plain characters, with the place in the original that each of them comes from. */
export interface PlainText {
  readonly text: string;
  /** By index of the plain text, and one more for its end: the index in the original. */
  readonly from: readonly number[];
}

// Typed, pasted and printed signs that mean the same: bar lines, dashes, strokes, blanks, letters that look like ours. What is not listed
// is taken in its compatibility form (Unicode Standard Annex 15, NFKC): superscripts, full-width letters, circled figures.
const SIGNS: readonly (readonly [plain: string, signs: string])[] = [
  ["|", "│ ┃ ∣ ❘ ❙ ǀ ¦ ⎸ ⏐ ︱ 𝄀 𝄃"],
  ["||", "‖ ║ ∥ ǁ 𝄁"],
  ["|]", "𝄂"],
  ["|:", "𝄆"],
  [":|", "𝄇"],
  ["%", "𝄎 ٪ ⁒"],
  ["%%", "𝄏"],
  ["-", "‐ ‑ ‒ – — ― − ﹘ ﹣ ⁃ ˗"],
  ["/", "⁄ ∕ ╱ ⧸"],
  ["x", "× ✕ ✖"],
  ["'", "‘ ’ ′ ʹ ´ `"],
  ['"', "“ ” ″"],
  ["->", "→ ⇒ ➔ ➜ ⟶"],
  ["𝄌", "⊕ ⨁ ⌖"],
  ["𝄋", "§"],
  ["Δ", "▲ ▵ △ ∆ ◬ 𝚫"],
  ["ø", "⌀ ∅ Ø"],
  ["°", "º ˚ ᵒ ⁰"],
  [".", "· • ∙ ‧ ⋅"],
  ["A", "А Α"],
  ["B", "В Β"],
  ["C", "С"],
  ["E", "Е Ε"],
  ["\n", "\r \u2028 \u2029 \u0085 \u000b \u000c"],
  ["", "\u200b \u200c \u200d \u2060 \ufeff \u00ad \ufe0e \ufe0f \u200e \u200f \u202a \u202b \u202c \u202d \u202e"],
];
const PLAIN = /* @__PURE__ */ new Map(SIGNS.flatMap(([plain, signs]) => signs.split(" ").map((sign) => [sign, plain])));
// Kept as they are, since their compatibility form would say something else.
const KEPT = /^[\n\t♭♯♮𝄫𝄪𝄋𝄌𝄐Δø°]$/u;

/** A text in plain characters. */
export const plainText = (original: string): PlainText => {
  const parts: string[] = [];
  const from: number[] = [];
  let at = 0;
  for (const sign of original) {
    const plain =
      sign === "\r" && original[at + 1] === "\n"
        ? ""
        : (PLAIN.get(sign) ?? (sign < "\u0080" || KEPT.test(sign) ? sign : sign.normalize("NFKC")));
    const blank = /^\s+$/.test(plain) && plain !== "\n" ? " " : plain;
    parts.push(blank);
    for (let i = 0; i < blank.length; i++) from.push(at);
    at += sign.length;
  }
  from.push(original.length);
  return { text: parts.join(""), from };
};

/** Where a place in a text lies, line and column counted from 1. */
export const lineAndColumn = (original: string, index: number): { readonly line: number; readonly column: number } => {
  const before = original.slice(0, index).split(/\r\n|[\n\r\u2028\u2029\u0085\u000b\u000c]/);
  return { line: before.length, column: [...(before.at(-1) ?? "")].length + 1 };
};
