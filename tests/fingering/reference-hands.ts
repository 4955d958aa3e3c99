import type { Finger, Hand } from "../../src/event/index.ts";
import type { FingeredKey, FingeringRule, MoveKind } from "../../src/fingering/rules.ts";
import { fingeringRule, fingeringRuleSet } from "../../src/fingering/rules.ts";
import { spansOf } from "../../src/fingering/spans.ts";

/** A note for the brute force: MIDI number, start and end in quarter notes. */
export interface HandNote {
  readonly midi: number;
  readonly from: number;
  readonly to: number;
}

interface Place {
  /** Semitones as a right hand would reach them. */
  readonly key: number;
  readonly black: boolean;
  readonly struck: boolean;
  readonly note: number;
}

interface Scene {
  readonly places: readonly Place[];
  readonly kind: MoveKind;
}

const FINGERS: readonly Finger[] = [1, 2, 3, 4, 5];
const isBlack = (midi: number): boolean => [1, 3, 6, 8, 10].includes(midi % 12);

/** Who is struck and who is held at each start, by the definition: held is what ends later than the new note starts. */
const scenesOf = (given: readonly HandNote[], hand: Hand, fast: (gap: number) => boolean): readonly Scene[] => {
  // A key that is struck again has sounded till then.
  const notes = given.map((note) => ({
    ...note,
    to: Math.min(
      note.to,
      ...given.filter(({ midi, from }) => midi === note.midi && from > note.from).map(({ from }) => from),
    ),
  }));
  const starts = [...new Set(notes.map(({ from }) => from))].sort((a, b) => a - b);
  return starts.map((start, s) => {
    const gap = s === 0 ? Number.POSITIVE_INFINITY : start - (starts[s - 1] as number);
    const before = notes.filter(({ from }) => from < start);
    const silence = before.length === 0 ? 0 : start - Math.max(...before.map(({ to }) => to));
    const places = notes
      .map(({ midi, from, to }, note) => ({
        key: hand === "right" ? midi : -midi,
        black: isBlack(midi),
        struck: from === start,
        note,
        sounds: from <= start && to > start,
      }))
      .filter((place) => place.struck || place.sounds)
      .sort((a, b) => a.key - b.key);
    const struckAgain = (place: Place): boolean =>
      !place.struck && places.some((other) => other.struck && other.key === place.key);
    return {
      places: places.filter((place) => !struckAgain(place)),
      kind: silence >= 1 ? ("free" as const) : fast(gap) ? ("fast" as const) : ("plain" as const),
    };
  });
};

const choicesOf = ({ places }: Scene): readonly (readonly Finger[])[] => {
  const spans = spansOf("medium");
  const grow = (chosen: readonly Finger[]): readonly (readonly Finger[])[] => {
    const at = places[chosen.length];
    if (at === undefined) return [chosen];
    return FINGERS.filter(
      (finger) =>
        finger > (chosen.at(-1) ?? 0) &&
        chosen.every((other, i) => {
          const span = at.key - (places[i] as Place).key;
          const reach = spans.between(other, finger);
          return span >= reach.minPractical && span <= reach.maxPractical;
        }),
    ).flatMap((finger) => grow([...chosen, finger]));
  };
  return grow([]);
};

const clamp = (interval: number): number => Math.max(-24, Math.min(24, interval));

/** The whole cost of one hand on every scene, window by window, from the rules' own words. */
const costOf = (
  scenes: readonly Scene[],
  hands: readonly (readonly Finger[])[],
  rules: readonly (readonly [FingeringRule, number])[],
): number => {
  const spans = spansOf("medium");
  const struckAt = (s: number) =>
    (scenes[s]?.places ?? []).flatMap((place, i) =>
      place.struck ? [{ ...place, finger: hands[s]?.[i] as Finger }] : [],
    );
  const isChord = (s: number): boolean => struckAt(s).length > 1;
  const allBlack = (s: number): boolean | undefined =>
    scenes[s] === undefined ? undefined : struckAt(s).every(({ black }) => black);
  let cost = 0;
  const moves: MoveKind[] = [];
  scenes.forEach(({ places, kind }, s) => {
    const own = places.map((place, i): FingeredKey => ({ finger: hands[s]?.[i] as Finger, black: place.black }));
    const before = scenes[s - 1]?.places ?? [];
    const steps = places.map(({ key }, i) => key - (before[i]?.key ?? 0));
    const whole =
      places.length > 1 &&
      places.length === before.length &&
      [...places, ...before].every(({ struck }) => struck) &&
      kind !== "free";
    const again = whole && steps.every((step) => step === 0);
    const oneWay = steps.every((step) => step > 0) || steps.every((step) => step < 0);
    const spread = Math.max(...steps) - Math.min(...steps);
    const reach = Math.abs((places.at(-1)?.key ?? 0) - (places[0]?.key ?? 0));
    const inThirds =
      places.length === 3 &&
      places.every(({ key }, i) => i === 0 || [3, 4].includes(Math.abs(key - (places[i - 1]?.key ?? 0))));
    const asItIs = places.length === 2 ? reach >= 10 : places.length > 3 || inThirds;
    const travels = whole && oneWay && (asItIs ? spread <= 1 : spread === 0 && Math.abs(steps[0] ?? 0) > 4);
    const move = again ? "plain" : travels ? "moved" : kind;
    moves.push(move);
    const apart = (at: MoveKind | undefined): boolean => at === "free" || at === "moved";
    const voices = (...at: readonly number[]) => (at.some(isChord) ? [0, -1] : [0]);
    for (const [rule, weight] of rules) {
      let points = 0;
      if (rule.reads === "note" && !isChord(s)) {
        for (const { finger, black } of struckAt(s))
          points += rule.points({
            finger,
            black,
            previousBlack: kind === "free" ? undefined : allBlack(s - 1),
            nextBlack: scenes[s + 1]?.kind === "free" ? undefined : allBlack(s + 1),
            tonic: false,
            pattern: undefined,
            sequence: undefined,
            sequenceTimes: undefined,
            sequenceChords: false,
          });
      } else if (rule.reads === "chord" && own.length > 1) {
        const gaps = places.slice(1).map(({ key }, i) => key - (places[i] as Place).key);
        points += rule.points({ keys: own, gaps }, spans);
      } else if (rule.reads === "pair" && s > 0 && (!apart(move) || rule.acrossRests === true)) {
        for (const voice of voices(s - 1, s)) {
          const [from, to] = [struckAt(s - 1).at(voice), struckAt(s).at(voice)];
          if (from !== undefined && to !== undefined)
            points += rule.points({ from, to, interval: clamp(to.key - from.key), move }, spans);
        }
      } else if (rule.reads === "triple" && s > 1 && !apart(move) && !apart(moves[s - 1])) {
        for (const voice of voices(s - 2, s - 1, s)) {
          const [first, middle, last] = [struckAt(s - 2).at(voice), struckAt(s - 1).at(voice), struckAt(s).at(voice)];
          if (first !== undefined && middle !== undefined && last !== undefined)
            points += rule.points(
              { first, middle, last, before: clamp(middle.key - first.key), after: clamp(last.key - middle.key) },
              spans,
            );
        }
      } else if (rule.reads === "held" && s > 0 && (places.length > 1 || (scenes[s - 1]?.places.length ?? 0) > 1)) {
        places.forEach(({ key, struck }, i) => {
          const same = move === "moved" ? i : before.findIndex((place) => place.key === key);
          if (same >= 0 && hands[s - 1]?.[same] !== hands[s]?.[i]) points += rule.points({ held: !struck });
        });
      }
      cost += weight * points;
    }
  });
  return cost;
};

/** The best fingers of notes, by trying every hand on every scene; by note, in the order given. Only where every scene is within reach. */
export const bruteHands = (
  notes: readonly HandNote[],
  hand: Hand,
  fast: (gap: number) => boolean,
): { readonly cost: number; readonly fingers: readonly Finger[] } | undefined => {
  const scenes = scenesOf(notes, hand, fast);
  const rules = fingeringRuleSet("standard").rules.map(({ rule, weight }) => [fingeringRule(rule), weight] as const);
  const choices = scenes.map(choicesOf);
  if (choices.some((some) => some.length === 0)) return undefined;
  let best: { cost: number; hands: readonly (readonly Finger[])[] } | undefined;
  const grow = (hands: readonly (readonly Finger[])[]): void => {
    const next = choices[hands.length];
    if (next === undefined) {
      const cost = costOf(scenes, hands, rules);
      if (best === undefined || cost < best.cost) best = { cost, hands };
      return;
    }
    for (const choice of next) grow([...hands, choice]);
  };
  grow([]);
  if (best === undefined) return undefined;
  const fingers: Finger[] = [];
  scenes.forEach(({ places }, s) =>
    places.forEach(({ struck, note }, i) => {
      if (struck) fingers[note] = best?.hands[s]?.[i] as Finger;
    }),
  );
  return { cost: best.cost, fingers };
};
