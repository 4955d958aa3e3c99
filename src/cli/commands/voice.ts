import { InvalidArgumentError } from "commander";
import { formatChord, formatDegree } from "../../chord/index.ts";
import { CAUTION } from "../../ground/caution.ts";
import { MusicError } from "../../ground/errors.ts";
import { formatPitch, pitchName } from "../../pitch/index.ts";
import type { ChordSpan, Progression } from "../../progression/index.ts";
import { parseProgression } from "../../progression/index.ts";
import { fromPickup, placeIn } from "../../progression/inner.ts";
import { formatBeats, ZERO } from "../../time/index.ts";
import type { VoicedProgression } from "../../voice-leading/index.ts";
import { voiceProgression } from "../../voice-leading/index.ts";
import type { VoicingStyle } from "../../voicing/index.ts";
import { STYLES } from "../../voicing/inner.ts";
import { namedProgressions } from "../catalogues.ts";
import { CHANGES, changesText, fileGuesses } from "../changes.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach, cautious } from "../command.ts";
import { oneOf, wholeNumber } from "../options.ts";
import { table } from "../table.ts";

interface Options {
  readonly style: readonly VoicingStyle[];
  readonly colour: "written" | "in-context";
  readonly aims: "smooth" | "pianist";
  readonly key?: string;
  readonly loop?: boolean;
  readonly span: number;
  readonly json?: boolean;
}

const isStyle = (text: string): text is VoicingStyle => STYLES.some((style) => style === text);

const stylesIn = (text: string): readonly VoicingStyle[] =>
  text.split(",").map((part) => {
    const style = part.trim();
    if (!isStyle(style)) throw new InvalidArgumentError(`Allowed: ${STYLES.join(", ")}.`);
    return style;
  });

export const addVoiceCommand: AddCommand = (program, terminal, done) => {
  program
    .command("voice")
    .description("the best voicings of a progression")
    .argument("<changes>", `${CHANGES}; - reads one a line`)
    .option(
      "--style <styles>",
      `form of the voicings, or several in order of preference: ${STYLES.join(", ")}`,
      stylesIn,
      ["rootless"] as readonly VoicingStyle[],
    )
    .option(
      "--colour <colour>",
      "what is added to plain symbols: written, in-context",
      oneOf(["written", "in-context"]),
      "written",
    )
    .option("--aims <aims>", "what is kept small: smooth (motion), pianist", oneOf(["smooth", "pianist"]), "smooth")
    .option("--key <key>", "the key of Roman numerals and named progressions (C unless given)")
    .option("--loop", "the last chord leads back to the first")
    .option(
      "--span <semitones>",
      "the widest stretch of one hand: 12 an octave, 14 a ninth, 16 a tenth",
      wholeNumber(1, 24),
      12,
    )
    .option("--json", "prints one JSON document")
    .addHelpText("after", `${namedProgressions()}\n\n${CAUTION}`)
    .action(async (changes: string, options: Options) => {
      done(await answerEach(changes, options.json === true, terminal, (item) => cautious(answer(item, options))));
    });
};

const answer = (changes: string, { style, colour, aims, key, loop, span }: Options): Answer => {
  const read = parseProgression(changesText(changes), key === undefined ? {} : { key });
  // Round and round, a pickup is played no more.
  const chart = loop === true ? read : fromPickup(read);
  const sounding = chart.chords.filter(({ chord }) => chord !== undefined);
  if (sounding.length === 0)
    throw new MusicError({ code: "cli/voice", input: changes, expected: "at least one chord" });
  const voiced = voiceProgression(chart, { style, colour, aims, span, loop: loop === true });
  const { voicings, motion, totalMotion, basses } = voiced;
  const warnings = remarksOn(voiced);
  const around = loop === true ? ", back to the first chord included" : "";
  return {
    // Voicings are the same in any key.
    guesses: [...fileGuesses(changes), ...(chart.guesses ?? [])].filter((guess) => !guess.startsWith("key taken as")),
    json: {
      voicings: voicings.map(({ chord, form, pitches, bass }, i) => {
        const low = basses[i];
        const told = bass !== undefined || chord.bass !== chord.root;
        return {
          symbol: chord.symbol,
          form,
          pitches: pitches.map(pitchName),
          ...(told && low !== undefined && { bass: pitchName(low) }),
        };
      }),
      motion,
      totalMotion,
      warnings,
    },
    text: [
      rows(chart, sounding, voiced),
      `motion in all ${totalMotion} semitones${around}`,
      ...warnings.map(({ message }) => message),
    ].join("\n"),
  };
};

interface Remark {
  readonly symbol: string;
  readonly kind: string;
  readonly message: string;
}

/** What is to be known of the voicings, once a chord. */
const remarksOn = ({ voicings, fallbacks, colours }: VoicedProgression): readonly Remark[] => {
  const remarks: Remark[] = [];
  const add = (symbol: string, kind: string, message: string): void => {
    if (!remarks.some((one) => one.symbol === symbol && one.message === message))
      remarks.push({ symbol, kind, message });
  };
  for (const { chord, warnings, leftOut } of voicings) {
    for (const { kind, message } of warnings) add(chord.symbol, kind, `${formatChord(chord)}: ${message}`);
    if (leftOut.length > 0) {
      const degrees = leftOut.map(formatDegree).join(" and ");
      add(chord.symbol, "left-out", `${formatChord(chord)}: the form has no room for ${degrees}`);
    }
  }
  for (const { symbol, message } of fallbacks) add(symbol, "other-style", message);
  for (const { symbol, message, added } of colours) if (added.length > 0) add(symbol, "colour", message);
  return remarks;
};

const rows = (
  chart: Progression,
  sounding: readonly ChordSpan[],
  { voicings, motion, basses }: VoicedProgression,
): string =>
  table([
    ["bar", "beat", "chord", "form", "notes", "degrees", "bass", "motion"],
    ...voicings.map((voicing, i) => {
      const { bar, beat } = placeIn(chart, sounding[i]?.at ?? ZERO);
      const [bass, told] = [basses[i], voicing.bass !== undefined || voicing.chord.bass !== voicing.chord.root];
      return [
        String(bar),
        formatBeats(beat),
        formatChord(voicing.chord),
        voicing.label,
        voicing.pitches.map((p) => formatPitch(p)).join(" "),
        voicing.degrees.map(formatDegree).join(" "),
        told && bass !== undefined ? formatPitch(bass) : "",
        i === 0 ? "" : String(motion[i - 1]),
      ];
    }),
  ]);
