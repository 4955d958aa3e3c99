import { formatChord, formatDegree } from "../../chord/index.ts";
import { CAUTION } from "../../drill/index.ts";
import { MusicError } from "../../ground/errors.ts";
import { formatPitch, pitchName } from "../../pitch/index.ts";
import type { Progression } from "../../progression/index.ts";
import { parseProgression } from "../../progression/index.ts";
import { barPosition, formatBeats } from "../../time/index.ts";
import { voiceProgression } from "../../voice-leading/index.ts";
import type { VoicingStyle } from "../../voicing/index.ts";
import { CHANGES, changesText } from "../changes.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { NAMED_PROGRESSIONS, oneOf, wholeNumber } from "../options.ts";
import { table } from "../table.ts";

const STYLES = [
  "shell",
  "rootless",
  "two-note-shell",
  "three-note-rootless",
  "guide-tones",
  "close",
  "drop-2",
  "fourths",
  "tenth",
  "spread",
] as const satisfies readonly VoicingStyle[];

interface Options {
  readonly style: VoicingStyle;
  readonly key?: string;
  readonly loop?: boolean;
  readonly span: number;
  readonly json?: boolean;
}

export const addVoiceCommand: AddCommand = (program, terminal, done) => {
  program
    .command("voice")
    .description("the smoothest voicings of a progression")
    .argument("<changes>", `${CHANGES}; - reads one a line`)
    .option("--style <style>", `form of the voicings: ${STYLES.join(", ")}`, oneOf(STYLES), "rootless")
    .option("--key <key>", "the key of Roman numerals and named progressions (C unless given)")
    .option("--loop", "the last chord leads back to the first")
    .option(
      "--span <semitones>",
      "the widest stretch of one hand: 12 an octave, 14 a ninth, 16 a tenth",
      wholeNumber(1, 24),
      12,
    )
    .option("--json", "prints one JSON document")
    .addHelpText("after", `${NAMED_PROGRESSIONS}\n\n${CAUTION}`)
    .action(async (changes: string, options: Options) => {
      done(await answerEach(changes, options.json === true, terminal, (item) => answer(item, options)));
    });
};

const answer = (changes: string, { style, key, loop, span }: Options): Answer => {
  const chart = parseProgression(changesText(changes), key === undefined ? {} : { key });
  const sounding = chart.chords.flatMap((s) => (s.chord === undefined ? [] : [{ ...s, chord: s.chord }]));
  if (sounding.length === 0)
    throw new MusicError({ code: "cli/voice", input: changes, expected: "at least one chord" });
  const voiced = voiceProgression(
    sounding.map(({ chord }) => chord),
    { style, span, loop: loop === true },
  );
  const { voicings, motion, totalMotion } = voiced;
  return {
    json: {
      voicings: voicings.map(({ chord, form, pitches }) => ({
        symbol: chord.symbol,
        form,
        pitches: pitches.map(pitchName),
      })),
      motion,
      totalMotion,
    },
    text: `${rows(chart, sounding, voiced)}\nmotion in all ${totalMotion} semitones${loop === true ? ", back to the first chord included" : ""}`,
  };
};

const rows = (
  chart: Progression,
  sounding: readonly Progression["chords"][number][],
  { voicings, motion }: ReturnType<typeof voiceProgression>,
): string =>
  table([
    ["bar", "beat", "chord", "form", "notes", "degrees", "motion"],
    ...voicings.map((voicing, i) => {
      const { bar, beat } = barPosition((sounding[i] as Progression["chords"][number]).at, chart.metre);
      return [
        String(bar),
        formatBeats(beat),
        formatChord(voicing.chord),
        voicing.label,
        voicing.pitches.map((p) => formatPitch(p)).join(" "),
        voicing.degrees.map(formatDegree).join(" "),
        i === 0 ? "" : String(motion[i - 1]),
      ];
    }),
  ]);
