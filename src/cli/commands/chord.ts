import type { Command } from "commander";
import type { Chord } from "../../chord/index.ts";
import { formatChord, formatDegree, parseChord } from "../../chord/index.ts";
import type { Hand } from "../../event/index.ts";
import { CAUTION } from "../../ground/caution.ts";
import { formatPitch, pitchName } from "../../pitch/index.ts";
import type { Voicing, VoicingStyle } from "../../voicing/index.ts";
import { voicingsFor } from "../../voicing/index.ts";
import { STYLES } from "../../voicing/inner.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach, cautious } from "../command.ts";
import { oneOf, wholeNumber } from "../options.ts";
import { sideways, table } from "../table.ts";

export const addChordCommand: AddCommand = (program, terminal, done) => {
  program
    .command("chord")
    .description("spells a chord symbol")
    .argument("<symbol>", 'a chord symbol such as "G13(b9)"; - reads one a line from standard input')
    .option("--style <style>", `its voicings in a style as well: ${STYLES.join(", ")}`, oneOf(STYLES))
    .option(
      "--span <semitones>",
      "the widest stretch of one hand in them: 12 an octave, 14 a ninth, 16 a tenth",
      wholeNumber(1, 24),
      12,
    )
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${CAUTION}`)
    .action(async (symbol: string, { json, ...options }: Options & { json?: boolean }, _command: Command) => {
      done(
        await answerEach(symbol, json === true, terminal, (item) =>
          options.style === undefined ? answer(item, options) : cautious(answer(item, options)),
        ),
      );
    });
};

interface Options {
  readonly style?: VoicingStyle;
  readonly span: number;
}

const answer = (symbol: string, { style, span }: Options): Answer => {
  const chord = parseChord(symbol.trim());
  const spelled = spell(chord);
  if (style === undefined) return spelled;
  const voicings = [...voicingsFor(chord, { style, span })];
  const hands = ({ hands, pitches }: Voicing, hand: Hand): string =>
    pitches.flatMap((one, i) => (hands[i] === hand ? [formatPitch(one)] : [])).join(" ");
  return {
    json: {
      ...spelled.json,
      voicings: voicings.map((one) => ({
        form: one.form,
        degrees: one.degrees,
        left: one.pitches.flatMap((p, i) => (one.hands[i] === "left" ? [pitchName(p)] : [])),
        right: one.pitches.flatMap((p, i) => (one.hands[i] === "right" ? [pitchName(p)] : [])),
        warnings: one.warnings.map(({ message }) => message),
      })),
    },
    text: `${spelled.text}\n\n${table([
      ["form", "degrees", "left hand", "right hand"],
      ...voicings.map((one) => [
        one.form,
        one.degrees.map(formatDegree).join(" "),
        hands(one, "left"),
        hands(one, "right"),
      ]),
    ])}`,
  };
};

const spell = (chord: Chord): { readonly json: object; readonly text: string } => {
  const { symbol } = chord;
  const { root, bass, tones } = chord;
  const heading = `${formatChord(chord)}${bass === root ? "" : `  (${formatPitch(bass)} in the bass)`}`;
  return {
    json: { symbol, root, bass, tones },
    text: `${heading}\n${sideways([
      ["degree", ...tones.map((tone) => formatDegree(tone.degree))],
      ["note", ...tones.map((tone) => formatPitch(tone.note))],
    ])}`,
  };
};
