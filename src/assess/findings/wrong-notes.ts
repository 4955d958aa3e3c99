import type { Hand } from "../../event/index.ts";
import { known, nth } from "../../ground/list.ts";
import type { Key } from "../../pitch/index.ts";
import { pitchName, spellInKey } from "../../pitch/index.ts";
import type { Asked } from "../align/asked.ts";
import type { Difficulty } from "../measure/places.ts";
import { placesOf } from "../measure/places.ts";
import { capital, inBars, inWords, timesInWords } from "../say/words.ts";
import type { Evidence, FindingRule, Found } from "./finding.ts";
import { handWords, OURS } from "./finding.ts";

/** A wrong key with the one that was asked for. */
interface Wrong {
  readonly asked: Asked;
  readonly run: number;
  /** Semitones by which it was too high. */
  readonly by: number;
  readonly hard: Difficulty | undefined;
}

/** Why keys are wrong, and what is said of it. */
interface Cause {
  readonly kind: "octave" | "key" | "accidental" | "row" | "place" | "name" | "beside";
  readonly wrong: readonly Wrong[];
  /** The sentence, without hand and bars where those are told apart. */
  readonly text: string;
  readonly how: string;
}

const SIGNS: Readonly<Record<string, string>> = { b: "♭", "#": "♯" };

/** A note name as it is printed, without its octave: `"E♭"`. */
const printed = (name: string): string => name.replace(/-?\d+$/, "").replace(/[b#]/g, (sign) => SIGNS[sign] ?? sign);

const SHARPS = "FCGDAEB";

/** What a key's signature does to a letter, in semitones. */
const signed = ({ fifths }: Key, letter: string): number => {
  const place = fifths > 0 ? SHARPS.indexOf(letter) : 6 - SHARPS.indexOf(letter);
  return place < Math.abs(fifths) ? Math.sign(fifths) : 0;
};

const alterationOf = (pitch: string): number => {
  const signs = pitch.slice(1).replace(/-?\d+$/, "");
  return signs.startsWith("b") ? -signs.length : signs.length;
};

/** The name of the key that was struck: an altered note's natural or its sign in the key by that letter, all else as the key spells it. */
const struckName = ({ asked, by }: Wrong, key: Key): string => {
  const letter = asked.pitch.charAt(0);
  const altered = alterationOf(asked.pitch) + by;
  const spelled = printed(pitchName(spellInKey(Math.max(0, Math.min(127, asked.midi + by)), key)));
  return Math.abs(by) <= 2 && (altered === 0 || altered === signed(key, letter))
    ? `${letter}${altered === 0 ? "" : altered < 0 ? "♭" : "♯"}`
    : Math.abs(key.fifths) < FEWEST_SIGNS
      ? (PLAIN[spelled] ?? spelled)
      : spelled;
};

// White keys go by their plain names, but in keys whose signature names them otherwise.
const PLAIN: Readonly<Record<string, string>> = { "C♭": "B", "F♭": "E", "E♯": "F", "B♯": "C" };
const FEWEST_SIGNS = 6;

const DISTANCES: readonly string[] = [
  "",
  "a half step",
  "a whole step",
  "a third",
  "a third",
  "a fourth",
  "a tritone",
  "a fifth",
];

const distance = (by: number): string =>
  `${DISTANCES[Math.abs(by)] ?? `${inWords(Math.abs(by))} keys`} too ${by > 0 ? "high" : "low"}`;

const placeOf = ({ asked: { bar, beat } }: Wrong): string =>
  bar <= 0 ? "the pickup" : `bar ${bar} beat ${beat.replace(/^(\d+)\/(\d+)$/, mixed)}`;

const PARTS: Readonly<Record<string, string>> = { "1/2": "½", "1/3": "⅓", "2/3": "⅔", "1/4": "¼", "3/4": "¾" };

/** A beat as people count it: `7/2` is 3½. */
const mixed = (text: string, num: string, den: string): string => {
  const [whole, rest] = [Math.floor(Number(num) / Number(den)), Number(num) % Number(den)];
  const part = PARTS[`${rest}/${den}`];
  return part === undefined ? text : `${whole}${part}`;
};

const barsOf = (wrong: readonly Wrong[]): readonly number[] =>
  [...new Set(wrong.map(({ asked }) => asked.bar))].sort((a, b) => a - b);

const handsOf = (wrong: readonly Wrong[]): Hand | undefined => {
  const [one, ...others] = new Set(wrong.map(({ asked }) => asked.hand));
  return others.length === 0 ? one : undefined;
};

const who = (wrong: readonly Wrong[]): string => {
  const hand = handsOf(wrong);
  return hand === undefined ? "both hands" : `the ${handWords(hand)}`;
};

const FEWEST_IN_A_ROW = 3;
const FEWEST_ALIKE = 2;
const MOST_NAMED = 3;
const AFTER: Readonly<Record<Difficulty, string>> = {
  "thumb-under": "after the thumb goes under",
  "cross-over": "after the crossing",
  leap: "after the leap",
};

const wrongOf = ({ take, hands }: Evidence): readonly Wrong[] => {
  const { alignment, asked } = take;
  const hard = new Map<number, Difficulty>();
  for (const { hand, wrong } of hands) {
    if (wrong === 0) continue;
    const places = placesOf(take, hand);
    places.forEach(({ asked: notes, difficulty }) => {
      if (difficulty !== undefined) for (const { index } of notes) hard.set(index, difficulty);
    });
  }
  return alignment.notes.flatMap((note): readonly Wrong[] => {
    if (note.state !== "wrong") return [];
    const one = nth(asked, known(note.asked));
    const struck = take.struck[known(note.played)];
    if (struck === undefined) return [];
    return [
      { asked: one, run: note.run, by: struck - one.midi - alignment.shift[one.hand], hard: hard.get(one.index) },
    ];
  });
};

const groupedBy = (
  wrong: readonly Wrong[],
  kind: (one: Wrong) => string | undefined,
): readonly (readonly Wrong[])[] => {
  const groups = new Map<string, Wrong[]>();
  for (const one of wrong) {
    const name = kind(one);
    if (name === undefined) continue;
    const own = groups.get(name);
    if (own === undefined) groups.set(name, [one]);
    else own.push(one);
  }
  return [...groups.values()];
};

/** Rows of neighbouring notes of a hand that are all wrong by as much: the hand lay in another place. */
const rowsOf = (wrong: readonly Wrong[], asked: readonly Asked[]): readonly (readonly Wrong[])[] =>
  (["right", "left"] as const).flatMap((hand) => {
    const order = new Map(asked.filter((note) => note.hand === hand).map(({ index }, i) => [index, i]));
    const rows: Wrong[][] = [];
    for (const one of wrong.filter((w) => w.asked.hand === hand)) {
      const last = rows.at(-1)?.at(-1);
      const follows =
        last !== undefined &&
        last.run === one.run &&
        last.by === one.by &&
        known(order.get(one.asked.index)) - known(order.get(last.asked.index)) === 1;
      if (follows) nth(rows, -1).push(one);
      else rows.push([one]);
    }
    return rows.filter((row) => row.length >= FEWEST_IN_A_ROW);
  });

const alone = (wrong: readonly Wrong[], bars: string): string => {
  const hand = handsOf(wrong);
  return hand === undefined ? `Each hand alone in ${bars}` : `${capital(handWords(hand))} alone in ${bars}`;
};

/** The causes of all wrong keys, each key in one: what tells most is looked for first. */
const causesOf = (evidence: Evidence): readonly Cause[] => {
  const { take } = evidence;
  const { key } = take.score;
  const causes: Cause[] = [];
  let left = wrongOf(evidence);
  const claim = (groups: readonly (readonly Wrong[])[], tell: (wrong: readonly Wrong[]) => Cause): void => {
    for (const group of groups) causes.push(tell(group));
    const gone = new Set(groups.flat());
    left = left.filter((one) => !gone.has(one));
  };
  claim(
    groupedBy(left, ({ by, asked }) => (Math.abs(by) === 12 ? `${asked.hand} ${by}` : undefined)),
    (wrong) => {
      const { by } = nth(wrong, 0);
      const bars = inBars(barsOf(wrong));
      return {
        kind: "octave",
        wrong,
        text: `${capital(inWords(wrong.length))} ${wrong.length === 1 ? "note" : "notes"} of ${who(wrong)} came an octave too ${by > 0 ? "high" : "low"} (${bars}).`,
        how: `${alone(wrong, bars)}: find each first note on the keyboard before you play on.`,
      };
    },
  );
  claim(
    groupedBy(left, (one) => {
      const letter = one.asked.pitch.charAt(0);
      const asks = alterationOf(one.asked.pitch);
      const inKey = signed(key, letter);
      return asks !== 0 && asks === inKey && one.by === -asks ? letter : undefined;
    }),
    (wrong) => {
      const asks = printed(nth(wrong, 0).asked.pitch);
      return {
        kind: "key",
        wrong,
        text: `You played ${asks.charAt(0)} where ${asks} is in the key${timesInWords(wrong.length)} (${inBars(barsOf(wrong))}).`,
        how: `Look at the key signature, find every ${asks} on the page, then play ${inBars(barsOf(wrong))} and say "${asks}" as it comes.`,
      };
    },
  );
  claim(
    groupedBy(left, (one) => {
      const letter = one.asked.pitch.charAt(0);
      const asks = alterationOf(one.asked.pitch);
      const inKey = signed(key, letter);
      return asks !== inKey && one.by === inKey - asks ? one.asked.pitch.replace(/-?\d+$/, "") : undefined;
    }),
    (wrong) => {
      const asks = printed(nth(wrong, 0).asked.pitch);
      const asked = asks.length === 1 ? `${asks} natural` : asks;
      return {
        kind: "accidental",
        wrong,
        text: `You played ${struckName(nth(wrong, 0), key)} where the page asks for ${asked}${timesInWords(wrong.length)} (${inBars(barsOf(wrong))}).`,
        how: `Mark the accidental in ${inBars(barsOf(wrong))}, and play slowly up to it and past it.`,
      };
    },
  );
  claim(rowsOf(left, take.asked), (wrong) => {
    const first = nth(wrong, 0);
    return {
      kind: "row",
      wrong,
      text: `From ${placeOf(first)} on ${who(wrong)} lay ${distance(first.by)}, for ${inWords(wrong.length)} notes.`,
      how: `Stop before ${placeOf(first)}, put the hand over its new place, look, and only then play on.`,
    };
  });
  claim(
    groupedBy(left, ({ hard, by, asked }) => (hard === undefined ? undefined : `${asked.hand} ${hard} ${by}`)).filter(
      (group) => group.length >= FEWEST_ALIKE,
    ),
    (wrong) => {
      const first = nth(wrong, 0);
      const after = AFTER[known(first.hard)];
      const bars = inBars(barsOf(wrong));
      return {
        kind: "place",
        wrong,
        text: `${capital(who(wrong))} lands ${distance(first.by)} ${after}${timesInWords(wrong.length)} (${bars}).`,
        how: `Practise only that place in ${bars}: two notes before and two after, slowly, looking ahead to where the hand lands.`,
      };
    },
  );
  claim(
    groupedBy(left, (one) => `${one.asked.pitch.replace(/-?\d+$/, "")} ${one.by}`).filter(
      (group) => group.length > FEWEST_ALIKE,
    ),
    (wrong) => {
      const first = nth(wrong, 0);
      return {
        kind: "name",
        wrong,
        text: `You played ${struckName(first, key)} for ${printed(first.asked.pitch)}${timesInWords(wrong.length)} (${inBars(barsOf(wrong))}).`,
        how: `Find every ${printed(first.asked.pitch)} on the page, say its name, and play ${inBars(barsOf(wrong))} slowly.`,
      };
    },
  );
  if (left.length > 0) {
    const bars = inBars(barsOf(left));
    const names = left.slice(0, MOST_NAMED).map((one) => {
      const where =
        one.hard === undefined || left.length > 1 ? `(${placeOf(one)})` : `${AFTER[one.hard]} (${placeOf(one)})`;
      return `${struckName(one, key)} for ${printed(one.asked.pitch)} ${where}`;
    });
    const [last, ...rest] = [...names].reverse();
    const told = rest.length === 0 ? known(last) : `${rest.reverse().join(", ")} and ${last}`;
    causes.push({
      kind: "beside",
      wrong: left,
      text: `${left.length === 1 ? "One wrong note" : `${capital(inWords(left.length))} wrong notes`} in ${who(left)}${left.length > MOST_NAMED ? ", such as " : ": "}${told}.`,
      how: `${alone(left, bars)}: name each note before you play it, slowly enough that none goes wrong.`,
    });
  }
  return causes;
};

/** Wrong keys, by name and reason: one finding for each cause. */
export const wrongNotes: FindingRule = {
  id: "wrong-notes",
  title: "Wrong keys",
  topic: "notes",
  threshold: "one or more",
  source: OURS,
  find: (evidence) =>
    causesOf(evidence).map(({ kind, wrong, text, how }): Found => {
      const hand = handsOf(wrong);
      const bars = barsOf(wrong);
      const asked = evidence.hands
        .filter((report) => hand === undefined || report.hand === hand)
        .reduce((sum, report) => sum + report.asked, 0);
      return {
        // What has one cause is worth more than what has none.
        weight: (kind === "beside" ? 0.1 : 0.15) + (5 * wrong.length) / Math.max(1, asked),
        kind: `${kind} ${text}`,
        ...(hand === undefined ? {} : { hand }),
        bars,
        figures: { wrong: wrong.length, asked },
        text,
        advice: { hands: hand ?? "both", bars, slower: 0.7, how },
      };
    }),
};
