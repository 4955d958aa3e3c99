import { basename, dirname } from "node:path";
import type { Finger, Hand } from "../../event/index.ts";
import type {
  FingerDifficultyOptions,
  Fingering,
  FingeringRuleSetId,
  FingerThroughKeysOptions,
  HandSize,
  MeasuredHand,
} from "../../fingering/index.ts";
import {
  fingerAlternatives,
  fingerDifficulty,
  fingeringRuleSetCatalogue,
  fingerPassage,
  fingerPrice,
  fingerScale,
  fingerThroughKeys,
  formatFingering,
} from "../../fingering/index.ts";
import { CAUTION } from "../../ground/caution.ts";
import { MusicError } from "../../ground/errors.ts";
import { formatPitch, pitchName } from "../../pitch/index.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach, cautious } from "../command.ts";
import { fromFile } from "../from-file.ts";
import { readInput, writeFiles } from "../io.ts";
import { oneOf, wholeNumber, wordsIn } from "../options.ts";

interface Options {
  readonly hand: Hand;
  readonly scale?: string;
  readonly octaves: number;
  readonly fixed?: string;
  readonly resting?: string;
  readonly size?: string;
  readonly tempo?: number;
  readonly goal?: number;
  readonly rules?: FingeringRuleSetId;
  readonly loop?: boolean;
  readonly alternatives?: number;
  readonly whyNot?: string;
  readonly keys?: string;
  readonly key?: string;
  readonly difficulty?: boolean;
  readonly score?: string;
  readonly out?: string;
  readonly keep?: boolean;
  readonly force?: boolean;
  readonly why?: boolean;
  readonly json?: boolean;
}

const RULE_SETS = fingeringRuleSetCatalogue.map(({ id }) => id) as readonly FingeringRuleSetId[];

export const addFingerCommand: AddCommand = (program, terminal, done) => {
  program
    .command("finger")
    .description("the best fingering of notes, chords, a scale or a score, with its crossings")
    .argument(
      "[notes]",
      'notes in the order played: "C4 D4 Eb4 E4", chords "C3+G3", "C4~2" held under the next two; - reads one passage a line from standard input',
    )
    .option("--hand <hand>", "left or right", oneOf(["left", "right"] as const), "right")
    .option("--scale <name>", 'a scale up and down, such as "C major blues"; - reads one a line from standard input')
    .option("--octaves <n>", "octaves of the scale, 1 to 4", wholeNumber(1, 4), 1)
    .option("--fixed <list>", 'settled fingers by note, counted from 1: "1=2 5=1"; of a scale by step')
    .option("--resting <fingers>", 'fingers that rest or can\'t play: "4" or "4 5"')
    .option("--size <hand>", 'small, medium, large, or the widest spans in semitones by fingers: "1-5=12 2-5=8"')
    .option(
      "--tempo <bpm>",
      "quarter notes a minute, 20 to 400: what is fast takes other fingers; a note or chord is a quarter note",
      wholeNumber(20, 400),
    )
    .option("--goal <bpm>", "the tempo that is practised for: its fingers from the start", wholeNumber(20, 400))
    .option("--rules <set>", RULE_SETS.join(", "), oneOf(RULE_SETS))
    .option("--loop", "the passage repeats without end")
    .option("--alternatives <n>", "as many fingerings, 1 to 5, that set the hand at other places", wholeNumber(1, 5))
    .option("--why-not <note=finger>", 'the price of a finger, as in "3=1"')
    .option("--keys <tonics>", 'one fingering through the keys: "all", or tonics such as "C F Bb"')
    .option("--key <tonic>", "the key that the notes are in, with --keys", "C")
    .option("--difficulty", "how hard each bar of four lies under the hand: the points of its busiest second")
    .option("--score <file>", "a MusicXML score, both hands; with --out the same file with fingers")
    .option("--out <file>", "where the score with its fingers is written")
    .option("--keep", "fingers that the score has already stay")
    .option("--force", "writes over an existing file")
    .option("--why", "says why: a sentence a note, and the cost rule by rule")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${CAUTION}`)
    .action(async (notes: string | undefined, options: Options) => {
      if ([notes, options.scale, options.score].filter((given) => given !== undefined).length !== 1) {
        throw new MusicError({
          code: "cli/finger",
          input: notes ?? "",
          expected: 'one of notes ("C4 D4 E4"), --scale "C major" or --score FILE',
        });
      }
      if (options.keep === true && options.score === undefined) throw refused("--keep", "--keep with --score FILE");
      if (options.score !== undefined) {
        const { json, text } = await scoreAnswer(options.score, options);
        terminal.write(options.json === true ? `${JSON.stringify(json)}\n` : `${text}\n`);
        done(0);
        return;
      }
      done(
        await answerEach(notes ?? options.scale ?? "", options.json === true, terminal, (item) =>
          cautious(answer(item, options, terminal.columns)),
        ),
      );
    });

  const scoreAnswer = async (path: string, options: Options): Promise<Answer> => {
    const { fingerMusicXml } = await import("../finger-score.ts");
    const { keep = false, out, force } = options;
    const { text, fingered, remarks } = fromFile(path, () =>
      fingerMusicXml(new TextDecoder().decode(readInput(path)), { ...asked(options), keep }),
    );
    const file =
      out === undefined
        ? undefined
        : writeFiles(dirname(out), [{ name: basename(out), contents: text }], force === true, terminal)[0];
    const told = remarks.map(({ hand, bar, message }) => `bar ${bar}, ${hand} hand: ${message}`);
    return {
      json: { fingered, remarks, caution: CAUTION, ...(file === undefined ? {} : { file }) },
      text: [
        `${fingered.right} notes of the right hand, ${fingered.left} of the left${file === undefined ? "" : `: ${file}`}`,
        ...told,
      ].join("\n"),
    };
  };
};

const refused = (input: string, expected: string): MusicError =>
  new MusicError({ code: "cli/finger", input, expected });

const fingerOf = (text: string, input: string): Finger => {
  const finger = ([1, 2, 3, 4, 5] as const).find((one) => String(one) === text);
  if (finger === undefined) throw refused(input, "fingers from 1 to 5");
  return finger;
};

const restingIn = (text: string): readonly Finger[] => {
  const fingers = wordsIn(text).map((word) => fingerOf(word, text));
  if (fingers.length === 0) throw refused(text, "fingers from 1 to 5");
  return fingers;
};

const pairsIn = (text: string): readonly (readonly [note: number, finger: Finger])[] =>
  wordsIn(text).map((word) => {
    const match = /^(\d{1,6})=([1-5])$/.exec(word);
    if (match === null) throw refused(text, 'notes and fingers such as "1=2 5=1", notes counted from 1');
    const note = Number(match[1]);
    if (note < 1) throw refused(text, "notes counted from 1");
    return [note - 1, fingerOf(match[2] ?? "", text)];
  });

const handSize = (text: string): HandSize | MeasuredHand => {
  if (text === "small" || text === "medium" || text === "large") return text;
  const spans = wordsIn(text).map((word) => {
    const match = /^([1-4]-[2-5])=(\d{1,2})$/.exec(word);
    if (match === null) throw refused(text, 'small, medium, large, or spans in semitones such as "1-5=12 2-5=8"');
    return [match[1], Number(match[2])] as const;
  });
  if (spans.length === 0) throw refused(text, "at least one span");
  if (new Set(spans.map(([pair]) => pair)).size < spans.length) throw refused(text, "each pair of fingers once");
  if (spans.some(([, span]) => span < 1 || span > 24)) throw refused(text, "spans from 1 to 24 semitones");
  return { widest: Object.fromEntries(spans) };
};

/** The options that passages, chords and scores share. */
const asked = ({ hand, size, tempo, goal, rules, resting }: Options) => ({
  hand,
  size: size === undefined ? undefined : handSize(size),
  rules,
  resting: resting === undefined ? undefined : restingIn(resting),
  tempo,
  goal,
});

const jsonOf = ({ pitches, fingers, crossings, cost, costByRule, remarks, steps }: Fingering, explain: boolean) => ({
  pitches: pitches.map(pitchName),
  fingers,
  crossings: crossings.map(({ index, kind }) => ({ index, kind })),
  cost,
  ...((explain || remarks.length > 0) && { remarks: remarks.map(({ message }) => message) }),
  ...(explain && { costByRule, why: (steps ?? []).map(({ sentence }) => sentence) }),
});

const answer = (item: string, options: Options, columns: number | undefined): Answer => {
  const explain = options.why === true;
  const form = { explain, width: columns ?? 80 };
  const pairs = options.fixed === undefined ? undefined : pairsIn(options.fixed);
  const fixed = pairs === undefined ? undefined : Object.fromEntries(pairs);
  if (options.scale !== undefined) {
    const { hand, octaves, rules } = options;
    const fingering = fingerScale(item, { hand, octaves, rules, size: asked(options).size, fixed, explain });
    return { json: jsonOf(fingering, explain), text: formatFingering(fingering, form) };
  }
  if (item.trim() === "") throw refused(item, 'at least one note, as in "C4 D4 Eb4 E4"');
  const { tempo, goal, ...plain } = asked(options);
  if (options.keys !== undefined) return throughKeys(item, { ...plain, fixed }, options, form.width);
  if (options.difficulty === true) return difficulty(item, { ...plain, tempo, goal, fixed });
  const settings = { ...plain, tempo, goal, fixed, explain, ...(options.loop === true && { loop: true }) };
  if (options.whyNot !== undefined) {
    const [[index, finger] = [0, 1 as Finger]] = pairsIn(options.whyNot);
    const { price, priceByRule, best, instead, changes } = fingerPrice(item, { ...settings, index, finger });
    const by = Object.entries(priceByRule).map(([rule, more]) => `${rule} ${more > 0 ? "+" : ""}${more}`);
    const told = `${finger} on note ${index + 1} costs ${price} more${by.length === 0 ? "" : `: ${by.join(", ")}`}`;
    return {
      json: { price, priceByRule, best: jsonOf(best, explain), instead: jsonOf(instead, explain), changes },
      text: [formatFingering(best, form), told, formatFingering(instead, form)].join("\n\n"),
    };
  }
  if (options.alternatives !== undefined) {
    const found = fingerAlternatives(item, { ...settings, count: options.alternatives });
    return {
      json: { alternatives: found.map((one) => jsonOf(one, explain)) },
      text: found.map((one) => `${formatFingering(one, form)}\ncost ${one.cost}`).join("\n\n"),
    };
  }
  const fingering = fingerPassage(item, settings);
  return {
    json: jsonOf(fingering, explain),
    text: `${formatFingering(fingering, form)}${straining(fingering.remarks) ? `\n${CAUTION}` : ""}`,
  };
};

const straining = (remarks: Fingering["remarks"]): boolean =>
  remarks.some(({ kind }) => kind === "strain" || kind === "wide-span" || kind === "out-of-reach");

const throughKeys = (
  item: string,
  settings: Omit<FingerThroughKeysOptions, "key" | "keys">,
  { keys = "all", key }: Options,
  width: number,
): Answer => {
  const found = fingerThroughKeys(item, { ...settings, key, ...(keys === "all" ? {} : { keys: wordsIn(keys) }) });
  return {
    json: {
      shared: found.shared,
      keys: found.keys.map((one) => ({
        key: one.key,
        ...jsonOf(one, false),
        remarks: one.remarks.map(({ message }) => message),
      })),
    },
    text: found.keys.map((one) => `${formatPitch(one.key)}\n${formatFingering(one, { width })}`).join("\n\n"),
  };
};

const difficulty = (item: string, settings: FingerDifficultyOptions): Answer => {
  const { bars, hardest, difficulty: mean } = fingerDifficulty(item, settings);
  return {
    json: { bars, difficulty: mean, hardest },
    text: [
      ...bars.map((one) => `bar ${one.bar}: ${one.difficulty} points in its busiest second`),
      `mean ${mean}; the hardest is bar ${hardest.bar}`,
    ].join("\n"),
  };
};
