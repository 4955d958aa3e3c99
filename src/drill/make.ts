import { arrangementRow, backingOver, backingRow } from "../backing/inner.ts";
import { formatChord } from "../chord/index.ts";
import type { CompingMannerRow, CompingRow } from "../comping/index.ts";
import { allow } from "../ground/watch.ts";
import { readableProgression } from "../harmony/index.ts";
import type { GeneratedLine, Line } from "../line/index.ts";
import { formatPitch } from "../pitch/index.ts";
import type { Progression } from "../progression/index.ts";
import type { DrillRecipe, FullDrillRecipe } from "../recipe/index.ts";
import { parseDrillRecipe } from "../recipe/index.ts";
import { barsAfter, changesOf, scaleOf } from "../recipe/inner.ts";
import type { Score } from "../score/index.ts";
import { makeScore } from "../score/index.ts";
import { sectionsPlayed, writtenOut } from "../score/inner.ts";
import { beatsToNumber, compareBeats, pulseLength, subtractBeats, ZERO } from "../time/index.ts";
import { barStartInMetres, metresBetween } from "../time/inner.ts";
import type { VoicedProgression } from "../voice-leading/index.ts";
import { closingOf, withClosing } from "./ending.ts";
import { placeHands, requireShort, withPickup } from "./hands.ts";
import type { Music } from "./music.ts";
import { barsOf, formOverTurns, handsOf, overTurns, repeatedMusic } from "./music.ts";
import { asWritten, formOnPaper, formOver, playedOut } from "./written.ts";

/** A drill for both hands: the score, and what it was made from. */
export interface Drill {
  readonly kind: "drill";
  /** The recipe with every default filled in. */
  readonly recipe: FullDrillRecipe;
  readonly title: string;
  /** What was done otherwise than the recipe asks, and why, in sentences; empty as a rule. */
  readonly remarks: readonly string[];
  readonly score: Score;
  readonly progression: Progression;
  /** The left hand's pattern, or the manner in which it listened. */
  readonly comping: CompingRow | CompingMannerRow;
  /** The left hand's voicings, one a chord of the progression, and why. */
  readonly voiced: VoicedProgression;
  /** The right hand, once through; an improvised one tells its form. */
  readonly line: Line | GeneratedLine;
}

/**
 * Makes a drill from a recipe: the progression in its key, the smoothest left-hand voicings round its loop, a left-hand
 * pattern, and a right-hand exercise that fits it or a line of phrases over it, as one score.
 *
 * The hands stand where they cross least: an exercise from C4 up, and where it would reach below what the left hand holds, over rootless voicings
 * placed lower, or an octave higher (within D7); an improvised line is made above the left hand.
 * The progression is played as often as the exercise needs to come out in whole turns of it, or as it takes to give an improvised line eight
 * bars. Repeats, endings and jumps of a chart are played out; with `asWritten` each bar that is written is made once, and does the same each time that
 * it comes, so that the page can have the signs. In another key the same seed keeps a line's form and rhythm; its pitches are those that are best there, over the left hand's voicings.
 * Spans, tempo and repeats are not safe for every hand: warm up, take breaks, stop at pain, and ask a teacher or a clinician.
 *
 * @param recipe - what to make; every default is in {@link DrillRecipe}
 * @throws MusicError `recipe/drill` for a recipe that can't be read, `drill/long` for more than 2,000 bars or 8,000 chords in all, and with
 * reason `cannot-be-done` `drill/bars` for bars after its last
 *
 * @example
 * ```ts
 * import { makeDrill } from "hands-together";
 *
 * const drill = makeDrill({ key: "Eb", left: "rootless", values: "triplets" });
 * drill.title; // => "Turnaround in E♭"
 * drill.score.bars; // => 4
 * drill.voiced.forms.length; // => 4
 * ```
 */
export function makeDrill(recipe: DrillRecipe): Drill {
  const full = parseDrillRecipe(recipe);
  const { progression: sounds, respelled } = readableProgression(changesOf(full));
  allow("bars", sounds.bars);
  const written = full.asWritten === true ? asWritten(sounds) : undefined;
  const changes = written ?? sounds;
  const sounding = changes.chords.filter((span) => span.chord !== undefined);
  const scale = scaleOf(changes, full);
  const { comping, remarks: handRemarks, voiced, line, left: leftOver } = placeHands(changes, sounding, scale, full);
  const remarks = [
    ...new Set(respelled.map(({ from, to }) => `${from} is written ${to}, for fewer accidentals.`)),
    ...handRemarks,
  ];
  const turns = line.bars / changes.bars;
  const after = barsAfter(full, sounds, line.bars);
  allow("bars", full.bars === undefined ? turns * sounds.bars * full.repeats + after.tag + after.last : 1);
  requireShort(turns * sounds.bars * full.repeats, turns * full.repeats * sounds.chords.length);
  const made: Music = {
    bars: line.bars,
    chords: overTurns(changes.chords, changes, turns),
    left: leftOver(turns),
    right: line.events,
    phrases: line.phrases,
  };
  const madeIn = formOverTurns(changes, turns);
  const form = full.asWritten === true ? formOnPaper(sounds, turns, full) : undefined;
  const once = form === undefined || written === undefined ? made : playedOut(made, madeIn, form.once);
  const inTurns = formOverTurns(sounds, turns);
  const [from, to] = full.bars ?? [1, inTurns.bars];
  const part = { ...metresBetween(inTurns, from, to), bars: to - from + 1 };
  const closing = (full.ending ?? "none") === "none" ? undefined : closingOf(sounds, once, voiced, full);
  const whole: Music =
    full.bars === undefined
      ? {
          ...repeatedMusic(once, inTurns, full.repeats),
          ...(form === undefined && { left: leftOver(turns * full.repeats) }),
          ...(closing === undefined && backingFor(sounds, turns * full.repeats, full)),
        }
      : repeatedMusic(barsOf({ ...once, ...backingFor(sounds, turns, full) }, inTurns, full.bars), part, full.repeats);
  const all = formOverTurns(part, full.repeats);
  const frame = { ...all, bars: all.bars + (closing?.bars ?? 0) };
  const ended: Music =
    closing === undefined
      ? whole
      : {
          ...withClosing(whole, closing, barStartInMetres(all, all.bars + 1)),
          ...backingFor(sounds, turns * full.repeats, full, closing),
        };
  const led = from === 1 ? withPickup(ended, changes, voiced, full) : ended;
  const played = handsOf(led, full.hands);
  const leads = [...played.left, ...played.right].some((event) => event.at.num < 0);
  const [lead] = led.chords;
  const own = lead !== undefined && lead.at.num < 0 ? subtractBeats(ZERO, lead.at) : ZERO;
  const beat = pulseLength(changes.metre);
  const pickup = leads && compareBeats(own, beat) < 0 ? beat : own;
  const title = full.title ?? titleOf(changes, full);
  return {
    kind: "drill",
    recipe: full,
    title,
    remarks,
    progression: changes,
    comping,
    voiced,
    line,
    score: makeScore({
      title,
      key: changes.key,
      metre: frame.metre,
      metres: frame.metres,
      // A recipe counts beats, a score quarter notes.
      tempo: full.tempo * beatsToNumber(pulseLength(changes.metre)),
      feel: typeof full.feel === "string" ? full.feel : full.feel.feel,
      pickup,
      ...played,
      form: form === undefined ? sectionsOf(sounds, turns, full, closing?.bars) : form.whole,
      ...(isData(full) && { recipe: { kind: "drill", version: 1, ...JSON.parse(JSON.stringify(full)) } }),
    }),
  };
}

// Some bars of a drill begin where they begin: the names of the sections among them stay.
const sectionsOf = (
  { form }: Progression,
  turns: number,
  { bars, repeats }: FullDrillRecipe,
  more = 0,
): Score["form"] | undefined => {
  if (form === undefined) return undefined;
  const once = sectionsPlayed(formOver(form, turns));
  const part = bars === undefined ? once : once.slice(bars[0] - 1, bars[1]);
  return writtenOut([
    ...Array.from({ length: repeats }, () => part).flat(),
    ...Array.from({ length: more }, () => ({})),
  ]);
};

// Rules, and exercises whose pattern is a function, are for programs: a recipe with them can't be stored.
const isData = ({ rules = [], right }: FullDrillRecipe): boolean =>
  rules.every((rule) => typeof rule === "string") &&
  !(typeof right === "object" && typeof right.pattern === "function");

const backingFor = (
  changes: Progression,
  turns: number,
  { backing, seed, arrangement = "throughout" }: FullDrillRecipe,
  tail?: Pick<Music, "bars" | "chords">,
): Pick<Music, "bass" | "drums"> => {
  if (backing === "none") return {};
  const { bass, drums } = backingOver(changes, backingRow(backing), {
    seed,
    choruses: turns,
    arrangement: arrangementRow(arrangement),
    tail,
    ending: tail !== undefined,
  });
  return { bass, drums };
};

const titleOf = (
  { key, name, chords: spans }: Progression,
  { changes, chartKey, bars, hands }: FullDrillRecipe,
): string => {
  // A chart that was transposed is no longer what the recipe says.
  const written = typeof changes === "string" ? changes : changes.title;
  // Numerals say what they are in any key; of a chart's text with its heading the chords are told.
  const asWritten = chartKey === undefined && (typeof changes === "object" || spans[0]?.numeral !== undefined);
  const chart = asWritten
    ? written
    : spans.map(({ chord }) => (chord === undefined ? "N.C." : formatChord(chord))).join(" ");
  return `${name ?? inWhole(chart)} in ${formatPitch(key.tonic)}${key.mode === "minor" ? " minor" : ""}${inBars(bars)}${hands === "both" ? "" : `, ${hands} hand`}`;
};

const LONGEST_TITLE = 60;

/** As many whole words as a title has room for. */
const inWhole = (text: string): string => {
  const line = text.replace(/\s+/g, " ").trim();
  if (line.length <= LONGEST_TITLE) return line;
  const cut = line.slice(0, LONGEST_TITLE + 1);
  return `${cut.slice(0, Math.max(1, cut.lastIndexOf(" "))).replace(/[\s|,-]+$/, "")} …`;
};

const inBars = (bars: FullDrillRecipe["bars"]): string =>
  bars === undefined ? "" : bars[0] === bars[1] ? `, bar ${bars[0]}` : `, bars ${bars[0]}–${bars[1]}`;
