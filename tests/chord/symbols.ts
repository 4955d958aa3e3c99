import fc from "fast-check";

/** A chord symbol without its root, and the degrees that the rules of the trade give it: composed, not parsed. */
export interface Composed {
  readonly suffix: string;
  readonly degrees: readonly string[];
}

interface Base {
  readonly signs: readonly string[];
  readonly third: "3" | "b3";
  readonly fifth: "5" | "b5" | "#5";
  /** The seventh of figures from 7 on. */
  readonly seventh: "7" | "b7" | "bb7";
  readonly figures: readonly ("" | "6" | "6/9" | "69" | "7" | "9" | "11" | "13")[];
}

// Common practice, no source; 9, 11 and 13 as MacDonald's naming rules have them.
const BASES: readonly Base[] = [
  { signs: [""], third: "3", fifth: "5", seventh: "b7", figures: ["", "6", "6/9", "69", "7", "9", "11", "13"] },
  {
    signs: ["maj", "M", "ma", "Maj"],
    third: "3",
    fifth: "5",
    seventh: "7",
    figures: ["", "6", "6/9", "7", "9", "11", "13"],
  },
  { signs: ["Δ", "∆"], third: "3", fifth: "5", seventh: "7", figures: ["7", "9", "13"] },
  {
    signs: ["m", "-", "min", "mi", "−"],
    third: "b3",
    fifth: "5",
    seventh: "b7",
    figures: ["", "6", "6/9", "69", "7", "9", "11", "13"],
  },
  {
    signs: ["m(maj", "mMaj", "mM", "-Δ", "m/maj"],
    third: "b3",
    fifth: "5",
    seventh: "7",
    figures: ["7", "9", "11", "13"],
  },
  { signs: ["dim", "o", "°"], third: "b3", fifth: "b5", seventh: "bb7", figures: ["", "7", "9", "11"] },
  { signs: ["ø", "Ø"], third: "b3", fifth: "b5", seventh: "b7", figures: ["7", "9", "11"] },
  { signs: ["aug", "+"], third: "3", fifth: "#5", seventh: "b7", figures: ["", "7", "9"] },
];

const ALTERATIONS = ["b5", "#5", "b9", "#9", "#11", "b13"] as const;
const ADDITIONS = ["add9", "add11", "add13", "add2", "add4", "add#11"] as const;
const SUSPENSIONS = ["", "", "", "sus4", "sus", "sus2", "sus2sus4"] as const;

const numberOf = (degree: string): string => degree.replace(/^[b#]+/, "");

const extensions = (figure: string, seventh: string): string[] =>
  figure === "6"
    ? ["6"]
    : figure === "69" || figure === "6/9"
      ? ["6", "9"]
      : figure === "7"
        ? [seventh]
        : figure === "9"
          ? [seventh, "9"]
          : figure === "11"
            ? [seventh, "9", "11"]
            : figure === "13"
              ? [seventh, "9", "13"]
              : [];

interface Choice {
  readonly base: Base;
  readonly sign: string;
  readonly figure: string;
  readonly suspension: (typeof SUSPENSIONS)[number];
  readonly alterations: readonly string[];
  readonly additions: readonly string[];
  readonly omission: string;
}

const degreesOf = ({ base, figure, suspension, alterations, additions, omission }: Choice): readonly string[] => {
  let degrees = ["1", base.third, base.fifth, ...extensions(figure, base.seventh)];
  if (suspension !== "") {
    degrees = degrees.filter((degree) => numberOf(degree) !== "3");
    const fourth = suspension.endsWith("4") || suspension === "sus";
    if (fourth) degrees = [...degrees.filter((degree) => degree !== "11"), "4"];
    if (suspension.startsWith("sus2")) degrees = [...degrees.filter((degree) => degree !== "9"), "2"];
  }
  for (const alteration of alterations) degrees = degrees.filter((degree) => degree !== numberOf(alteration));
  degrees = [...degrees, ...alterations, ...additions.map((addition) => addition.slice(3))];
  if (omission !== "") degrees = degrees.filter((degree) => numberOf(degree) !== omission.slice(-1));
  if (degrees.some((degree) => numberOf(degree) === "7"))
    degrees = degrees.map((degree) => (degree === "6" ? "13" : degree));
  return [...new Set(degrees)].sort(
    (a, b) => Number(numberOf(a)) - Number(numberOf(b)) || semitonesOf(a) - semitonesOf(b),
  );
};

/** Semitones of a degree above its root. */
export const semitonesOf = (degree: string): number => {
  const number = Number(numberOf(degree));
  const sign = degree.length - String(number).length;
  return (
    ([0, 2, 4, 5, 7, 9, 11][(number - 1) % 7] as number) +
    12 * Math.floor((number - 1) / 7) +
    (degree.startsWith("b") ? -sign : sign)
  );
};

const STACKS = ["plain", "brackets", "commas", "bracket each", "unicode", "spaces"] as const;

const written = (items: readonly string[], stack: (typeof STACKS)[number]): string => {
  if (items.length === 0) return "";
  switch (stack) {
    case "plain":
      return items.join("");
    case "brackets":
      return `(${items.join("")})`;
    case "commas":
      return `(${items.join(",")})`;
    case "spaces":
      return `( ${items.join(", ")} )`;
    case "bracket each":
      return items.map((item) => `(${item})`).join("");
    case "unicode":
      return items
        .join("")
        .replace(/b(?=[0-9])/g, "♭")
        .replace(/#/g, "♯");
  }
};

/** Symbols of every quality, figure and stack in every way of writing, with their degrees. */
export const composed: fc.Arbitrary<Composed> = fc
  .constantFrom(...BASES)
  .chain((base) =>
    fc.record({
      base: fc.constant(base),
      sign: fc.constantFrom(...base.signs),
      figure: fc.constantFrom(...base.figures),
      suspension: fc.constantFrom(...SUSPENSIONS),
      alterations: fc.subarray([...ALTERATIONS], { maxLength: 3 }),
      additions: fc.subarray([...ADDITIONS], { maxLength: 1 }),
      omission: fc.constantFrom("", "", "", "", "no3", "omit5", "no5", "no7", "no9"),
      stack: fc.constantFrom(...STACKS),
      order: fc.array(fc.nat(), { minLength: 5, maxLength: 5 }),
    }),
  )
  .map(({ stack, order, ...choice }) => {
    const keyed = [
      ...choice.alterations,
      ...choice.additions,
      ...(choice.omission === "" ? [] : [choice.omission]),
    ].map((item, i) => ({ item, key: order[i] as number }));
    const items = keyed.sort((a, b) => a.key - b.key).map(({ item }) => item);
    const closing = choice.sign.includes("(") ? ")" : "";
    return {
      suffix: `${choice.sign}${choice.figure}${closing}${choice.suspension}${written(items, stack)}`,
      degrees: degreesOf(choice),
    };
  })
  // Straight after the root an accidental is the root's.
  .filter(({ suffix }) => !/^[b#♭♯]/.test(suffix));

export const ROOTS = ["C", "D", "E", "F", "G", "A", "B"].flatMap((letter) =>
  ["", "b", "#"].map((sign) => letter + sign),
);
/** A root with at most one accidental. */
export const root: fc.Arbitrary<string> = fc.constantFrom(...ROOTS);
