import type { Hand } from "../event/index.ts";
import type { Score } from "../score/index.ts";
import { barLength, beatsToNumber } from "../time/index.ts";
import type { Alignment, AlignOptions } from "./align/align.ts";
import { readTake } from "./align/align.ts";
import type { PlayedNote } from "./align/played.ts";
import type { Evidence } from "./findings/finding.ts";
import { FINDING_RULES } from "./findings/index.ts";
import type { BandReport } from "./measure/band.ts";
import { bandReport } from "./measure/band.ts";
import type { AccuracyReport, BarReport, HandReport, TempoReport, TogetherReport } from "./measure/measures.ts";
import { barReports, handReport, tempoReport, togetherOf, wholeAccuracy } from "./measure/measures.ts";
import { HANDS, rounded, takeOf } from "./measure/model.ts";
import type { BalanceReport, PedalReport } from "./measure/sound.ts";
import { balanceOf, pedalOf } from "./measure/sound.ts";
import type { TroubleSpot } from "./measure/trouble.ts";
import { troubleSpots } from "./measure/trouble.ts";
import type { Ranked } from "./say/choose.ts";
import { choose, ranked } from "./say/choose.ts";
import type { PracticeRecipe, PracticeStep } from "./say/practice.ts";
import { practiceStep } from "./say/practice.ts";
import { praise } from "./say/praise.ts";
import { checkAssessOptions } from "./shapes.ts";

/** Something that an assessment can find, and when it does. */
export interface FindingRow {
  readonly id: string;
  readonly title: string;
  /** Of findings on one topic in one hand the student hears the weightiest. */
  readonly topic: "notes" | "flow" | "tempo" | "rhythm" | "together" | "touch" | "key";
  /** When it is said. */
  readonly threshold: string;
  /** Where the threshold comes from. */
  readonly source: string;
}

/** Everything that {@link assessTake} can find, with its threshold. */
export const findingCatalogue: readonly FindingRow[] = FINDING_RULES.map(({ id, title, topic, threshold, source }) => ({
  id,
  title,
  topic,
  threshold,
  source,
}));

/** Something to fix that was found in a take. */
export interface Finding {
  /** Its row in {@link findingCatalogue}. */
  readonly id: string;
  /** How much it matters beside the others: about 1 for what must be fixed first. */
  readonly weight: number;
  /** Absent where it is about both hands. */
  readonly hand?: Hand;
  /** Bars that it is about; empty for the whole. */
  readonly bars: readonly number[];
  /** For the student, in one or two sentences. */
  readonly message: string;
  /** The figures that it rests on. */
  readonly figures: Readonly<Record<string, number>>;
}

/** A take held against its score. Plain data, ready for JSON. */
export interface Assessment {
  readonly kind: "assessment";
  readonly version: 1;
  /** The score's title. */
  readonly title: string;
  readonly bars: number;
  /** Quarter notes in a bar. */
  readonly barLength: number;
  /** All notes of both hands. */
  readonly accuracy: AccuracyReport;
  readonly hands: readonly HandReport[];
  readonly barReports: readonly BarReport[];
  /** Absent where the hands meet fewer than three times. */
  readonly together?: TogetherReport;
  /** Absent where a hand has fewer than eight right notes, or where every note is as loud as every other. */
  readonly balance?: BalanceReport;
  /** Absent where no pedal held anything on. */
  readonly pedal?: PedalReport;
  readonly tempo: TempoReport;
  /** Against the band; absent unless its clock is asked for. */
  readonly band?: BandReport;
  readonly troubleSpots: readonly TroubleSpot[];
  /** Everything found, weightiest first. */
  readonly findings: readonly Finding[];
  /** What went well, in a sentence. */
  readonly praise: string;
  /** What to tell the student: the weightiest findings of different topics, three at most, one at most after a good take. */
  readonly say: readonly Finding[];
  /** What to practise next, one step for each thing said. */
  readonly practise: readonly PracticeStep[];
  /** Note by note. */
  readonly alignment: Alignment;
}

/** Options of {@link assessTake}. */
export interface AssessOptions extends AlignOptions {
  /** The recipe that the score was made from; practice steps keep its other fields. @defaultValue one of the score's key, tempo and feel */
  readonly recipe?: PracticeRecipe | undefined;
  /**
   * By what lateness is told besides the player's own clock: `"band"` where a backing or a metronome played along and was not recorded as keys.
   * It goes on at one tempo from the first bar line. @defaultValue `"own"`
   */
  readonly clock?: "own" | "band" | undefined;
  /** With the band's clock: seconds of the take at the first bar line, the delay of the equipment included. @defaultValue 0 */
  readonly startSeconds?: number | undefined;
  /** With the band's clock: quarter notes a minute at which it played. @defaultValue the score's */
  readonly bandTempo?: number | undefined;
  /** How many things the student is told, 0 to 3. @defaultValue 3 */
  readonly most?: 0 | 1 | 2 | 3 | undefined;
}

/**
 * Listens to a take as a teacher would: which notes were right, how early or late each hand is by the player's own clock, how the
 * tempo, the swing, the triplets and the touch are, where slips gather, and what to practise next.
 *
 * Timing is measured against a smooth clock through the notes on the beat, so a slower or drifting tempo is no fault of timing. With
 * `clock: "band"` it is measured against a band or a metronome besides: lateness and drift, place by place of the bar.
 * What is said is chosen by weight: at most three things, each of another topic, hand or cause, and at most one after a good take.
 * Thresholds are in {@link findingCatalogue};
 * how well each finding is recalled on simulated takes is reported in the guide to assessment.
 *
 * Practice steps set tempo and repeats, and none is right for every hand: warm up, take breaks, stop at pain, ask a teacher or a clinician.
 *
 * @param score - what was asked for
 * @param played - the take; the notes of a MIDI reader will do
 * @throws MusicError `assess/metre`, `assess/played`, `assess/score`, `assess/attempt` and `assess/unrelated` as {@link alignTake} does
 *
 * @example
 * ```ts
 * import { assessTake, beats, makeScore, metre, parseKey, pitch, simulateTake } from "hands-together";
 *
 * const right = ["C4", "D4", "Eb4", "E4"].map((name, i) => ({ at: beats(i), duration: beats(1), pitches: [pitch(name as "C4")] }));
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, right });
 * assessTake(score, simulateTake(score).played).findings; // => []
 * const assessment = assessTake(score, simulateTake(score, { wrongAt: [2] }).played);
 * assessment.accuracy.accuracy; // => 0.75
 * assessment.say.map((finding) => finding.id); // => ["wrong-notes"]
 * ```
 */
export function assessTake(score: Score, played: readonly PlayedNote[], options: AssessOptions = {}): Assessment {
  checkAssessOptions(options);
  const { recipe, most, clock, startSeconds = 0, bandTempo, ...attempt } = options;
  const { alignment, asked } = readTake(score, played, attempt);
  const take = takeOf(score, alignment, played, asked);
  const together = togetherOf(take);
  const tempo = tempoReport(take);
  const band = clock === "band" ? bandReport(take, { startSeconds, tempo: bandTempo ?? score.tempo }) : undefined;
  const hands = HANDS.filter(
    (hand) => score[hand].length > 0 && (alignment.attempt.hands === "both" || alignment.attempt.hands === hand),
  ).map((hand) => handReport(take, hand));
  const spots = troubleSpots(take);
  const [balance, pedal] = [balanceOf(take), pedalOf(take)];
  const evidence: Evidence = {
    take,
    whole: wholeAccuracy(take),
    hands,
    tempo,
    together,
    band,
    balance,
    pedal,
    troubleSpots: spots,
  };
  const found = ranked(FINDING_RULES.flatMap((rule) => rule.find(evidence).map((one) => ({ rule, one }))));
  const told = choose(found, most ?? 3, evidence);
  const length = beatsToNumber(barLength(score.metre));
  return {
    kind: "assessment",
    version: 1,
    title: score.title,
    bars: score.bars,
    barLength: length,
    accuracy: evidence.whole,
    hands,
    barReports: barReports(take, length),
    ...(together === undefined ? {} : { together }),
    ...(balance === undefined ? {} : { balance }),
    ...(pedal === undefined ? {} : { pedal }),
    tempo,
    ...(band === undefined ? {} : { band }),
    troubleSpots: spots,
    findings: found.map(toFinding),
    praise: praise(evidence),
    say: told.map(toFinding),
    practise: told.map(({ rule, one: { advice } }) => {
      // Who practised one hand alone goes on with it.
      const hands = advice.hands === "both" ? alignment.attempt.hands : advice.hands;
      return practiceStep(rule.id, { ...advice, hands }, score, tempo.played, recipe);
    }),
    alignment,
  };
}

const toFinding = ({ rule, one }: Ranked): Finding => ({
  id: rule.id,
  weight: rounded(one.weight, 3),
  ...(one.hand === undefined ? {} : { hand: one.hand }),
  bars: one.bars,
  message: one.text,
  figures: one.figures,
});
