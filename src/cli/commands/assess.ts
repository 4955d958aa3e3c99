import { basename } from "node:path";
import { InvalidArgumentError } from "commander";
import type { Improvisation, ImprovisationOptions, PlayedNote } from "../../assess/index.ts";
import {
  assessImprovisation,
  assessTake,
  formatAssessment,
  formatImprovisation,
  practiceScore,
} from "../../assess/index.ts";
import { CAUTION } from "../../ground/caution.ts";
import { MusicError } from "../../ground/errors.ts";
import { assessmentPage, improvisationPage } from "../../handout/index.ts";
import type { MidiPerformance } from "../../midi/index.ts";
import { readMidi } from "../../midi/index.ts";
import { writeMusicXml } from "../../musicxml/index.ts";
import { pitchName } from "../../pitch/index.ts";
import type { Score } from "../../score/index.ts";
import { formatBeats } from "../../time/index.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { fromFile } from "../from-file.ts";
import type { Terminal } from "../io.ts";
import { readInput, writeFiles } from "../io.ts";
import { fileStem, shortHash } from "../names.ts";
import { oneOf, seconds } from "../options.ts";
import { readScore } from "../read-score.ts";

interface Options {
  readonly improvised?: boolean;
  readonly scale?: string;
  readonly firstBar?: number;
  readonly clock?: "own" | "band";
  readonly bandTempo?: number;
  readonly hand?: "right" | "left" | "both";
  readonly bars?: readonly [number, number];
  readonly loop?: boolean;
  readonly out?: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

export const addAssessCommand: AddCommand = (program, terminal, done) => {
  program
    .command("assess")
    .description(
      "a student's take against the drill: what went well, at most three things to fix, what to practise next",
    )
    .argument("<drill>", "the drill, as MusicXML or JSON")
    .argument("<take>", "the take, as MIDI; - reads one file name a line from standard input")
    .option(
      "--hand <hand>",
      "which hand was played: right, left, both (found in the take, unless given)",
      oneOf(["right", "left", "both"] as const),
    )
    .option("--bars <from,to>", "which bars were played, such as 3,4 (found in the take, unless given)", barsRange)
    .option(
      "--loop",
      "they were played round and round, so that going back is no restart (found in the take, unless given)",
    )
    .option(
      "--improvised",
      "the right hand improvises over the drill's chords: its line is held to the rules of phrasing, the left hand to the drill",
    )
    .option(
      "--scale <scale>",
      'with --improvised, the scale of the line, such as "Eb major blues" (that of the key, unless given)',
    )
    .option(
      "--clock <clock>",
      "what lateness is told by: own, the player's own beat (unless given), or band, a backing or metronome that played along from bar 1",
      oneOf(["own", "band"] as const),
    )
    .option(
      "--band-tempo <tempo>",
      "with --clock band, at how many quarter notes a minute it played (the drill's, unless given)",
      bandTempo,
    )
    .option(
      "--first-bar <seconds>",
      "where bar 1 begins in the take: with --clock band, and with --improvised if no left hand tells the beat (0, unless given)",
      seconds,
    )
    .option(
      "--out <folder>",
      "writes a page with a picture of the timing, or of the improvised line, into a folder as well, and what to practise of a score that is no drill as MusicXML",
    )
    .option("--force", "overwrites a page that is there")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${CAUTION}`)
    .action(async (drill: string, take: string, options: Options) => {
      if (options.improvised !== true && options.scale !== undefined)
        throw new MusicError({ code: "cli/assess", input: options.scale, expected: "--improvised beside --scale" });
      if (options.improvised !== true && options.clock !== "band" && options.firstBar !== undefined) {
        throw new MusicError({
          code: "cli/assess",
          input: options.firstBar,
          expected: "--improvised or --clock band beside --first-bar",
        });
      }
      if (options.bandTempo !== undefined && options.clock !== "band")
        throw new MusicError({
          code: "cli/assess",
          input: options.bandTempo,
          expected: "--clock band beside --band-tempo",
        });
      if (
        options.improvised === true &&
        (options.hand ?? options.bars ?? options.loop ?? options.clock) !== undefined
      ) {
        throw new MusicError({
          code: "cli/assess",
          input: options.hand ?? options.bars ?? options.loop ?? options.clock,
          expected: "--hand, --bars, --loop and --clock for a written take only",
        });
      }
      const score = readScore(drill);
      done(
        await answerEach(take, options.json === true, terminal, (file) =>
          answer(score, file, { ...options, drill }, terminal),
        ),
      );
    });
};

// Two students' takes may have one name: where it lies, and the drill, tell pages apart.
const takeName = (file: string, drill: string): string =>
  `${fileStem(basename(file).replace(/\.[^.]*$/, ""))}-${shortHash(drill, file, readInput(file))}`;

/** Reads an option's first and last bar, for commander. */
const barsRange = (text: string): readonly [number, number] => {
  const [from, to = from, ...more] = text.split(/[,–-]/).map(Number);
  if (
    from === undefined ||
    to === undefined ||
    more.length > 0 ||
    !Number.isInteger(from) ||
    !Number.isInteger(to) ||
    from < 0 ||
    to < from ||
    to > 10_000
  )
    throw new InvalidArgumentError("Expected a first and a last bar, such as 3,4.");
  return [from, to];
};

/** Reads a tempo, for commander. */
const bandTempo = (text: string): number => {
  const tempo = Number(text);
  if (!(tempo >= 10 && tempo <= 1000))
    throw new InvalidArgumentError("Expected quarter notes a minute, from 10 to 1000.");
  return tempo;
};

interface Heard {
  readonly json: object;
  readonly text: string;
  readonly page: () => string;
  /** What to practise of a score that no recipe makes, as MusicXML. */
  readonly sheets?: () => readonly string[];
}

const answer = (
  score: Score,
  file: string,
  options: Options & { readonly drill: string },
  terminal: Terminal,
): Answer => {
  const performance = fromFile(file, () => readMidi(readInput(file)));
  for (const warning of performance.warnings) terminal.complain(`${file}: ${warning}\n`);
  const ignored = leftOut(performance);
  const played = playedNotes(performance);
  const { json, text, page, sheets } =
    options.improvised === true
      ? improvised(score, played, options)
      : fromFile(file, () => written(score, played, options));
  const { out, force, drill } = options;
  const files =
    out === undefined
      ? []
      : writeFiles(
          out,
          [
            { name: `${takeName(file, drill)}-assessed.html`, contents: page() },
            ...(sheets?.() ?? []).map((contents, i) => ({
              name: `${takeName(file, drill)}-practise-${i + 1}.musicxml`,
              contents,
            })),
          ],
          force === true,
          terminal,
        );
  return {
    cautious: true,
    json: { ...json, ...(ignored.length === 0 ? {} : { ignored }), ...(out === undefined ? {} : { files }) },
    text: [text.trimEnd(), ...ignored, ...files].join("\n"),
  };
};

const written = (score: Score, played: readonly PlayedNote[], options: Options): Heard => {
  const { hand, bars, loop, clock, firstBar: startSeconds, bandTempo } = options;
  const assessment = assessTake(score, played, { hand, bars, loop, clock, startSeconds, bandTempo });
  return {
    json: assessment,
    text: formatAssessment(assessment),
    page: () => assessmentPage(assessment, { played, date: today() }),
    sheets: () =>
      assessment.practise
        .filter((step) => step.of === "score")
        .map((step) => writeMusicXml(practiceScore(score, step))),
  };
};

// The day on which it was heard; the files of a take carry none that is to be trusted.
const today = (): string => new Date().toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });

const improvised = (score: Score, played: readonly PlayedNote[], { scale, firstBar }: Options): Heard => {
  const heard = assessImprovisation(score, played, {
    ...(scale === undefined ? {} : { scale }),
    ...(firstBar === undefined ? {} : { startSeconds: firstBar }),
  } satisfies ImprovisationOptions);
  return {
    json: improvisationJson(heard),
    text: formatImprovisation(heard),
    page: () => improvisationPage(heard, score),
  };
};

// Moments as exact text and notes as names, as a drill's own JSON has them.
const improvisationJson = (heard: Improvisation): object => ({
  ...heard,
  line: heard.line.map(({ at, duration, pitches }) => ({
    at: formatBeats(at),
    duration: formatBeats(duration),
    pitches: pitches.map(pitchName),
  })),
  phrases: heard.phrases.map(({ at, duration, bar, beat, notes }) => ({
    at: formatBeats(at),
    duration: formatBeats(duration),
    bar,
    beat: formatBeats(beat),
    notes,
  })),
  overChords: heard.overChords.map((over) => ({ ...over, beat: formatBeats(over.beat) })),
  findings: heard.findings.map((finding) => ({ ...finding, beat: formatBeats(finding.beat) })),
  say: heard.say.map((remark) => ({
    ...remark,
    places: remark.places.map(({ bar, beat }) => ({ bar, ...(beat === undefined ? {} : { beat: formatBeats(beat) }) })),
  })),
});

const BACKING = /^(bass|drums)$/i;
const PERCUSSION = 9;

/** What of a recording is not compared, and why. */
const leftOut = ({ notes, tracks }: MidiPerformance): readonly string[] => {
  const backing = notes.filter(({ track }) => BACKING.test(tracks[track]?.name ?? "")).length;
  const percussion = notes.filter(
    ({ track, channel }) => channel === PERCUSSION && !BACKING.test(tracks[track]?.name ?? ""),
  ).length;
  return [
    ...(backing === 0 ? [] : [`Not compared: ${backing} notes of bass and drums, which nobody's hands are asked for.`]),
    ...(percussion === 0 ? [] : [`Not compared: ${percussion} strokes on the percussion channel.`]),
  ];
};

// A recording that names its tracks tells the hands apart; a backing that was recorded along is left out.
export const playedNotes = ({ notes, tracks }: MidiPerformance): readonly PlayedNote[] =>
  notes.flatMap(({ onsetSeconds, durationSeconds, soundingSeconds, midi, velocity, channel, track }) => {
    const name = tracks[track]?.name ?? "";
    if (BACKING.test(name)) return [];
    const hand = /right hand/i.test(name)
      ? ("right" as const)
      : /left hand/i.test(name)
        ? ("left" as const)
        : undefined;
    return [
      {
        onsetSeconds,
        durationSeconds,
        soundingSeconds,
        midi,
        velocity,
        channel,
        ...(hand === undefined ? {} : { hand }),
      },
    ];
  });
