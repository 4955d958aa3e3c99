import { chanceOf } from "../../src/ground/chance.ts";
import type { PlayedNote, Score } from "../all.ts";
import { barLength, beatsToNumber, midiNumber, partFeel, soundingSpan } from "../all.ts";

/** One stretch that a person plays: which hands, which bars. */
export interface Stretch {
  readonly hands: "both" | "right" | "left";
  readonly from: number;
  readonly to: number;
  /** Seconds of silence before it; none where it follows in time. */
  readonly after?: number;
}

/** What a person does beside playing well; nothing by default. */
export interface Habits {
  readonly stretches?: readonly Stretch[];
  readonly tempo?: number;
  /** Taps before the first note, a beat apart. */
  readonly countIn?: number;
  readonly countInKey?: number;
  /** Keys of trying out: before, between and after the stretches. */
  readonly noodle?: readonly ("before" | "between" | "after")[];
  readonly noodleKeys?: number;
  /** Keys an octave higher that a layer sounds along. */
  readonly layer?: boolean;
  /** Everything once more on another channel. */
  readonly doubled?: boolean;
  /** Semitones by hand. */
  readonly shift?: { readonly right: number; readonly left: number };
  /** Moments of the score (quarter notes, as sounded) after which the time to the next one is another: by how many quarter notes longer. */
  readonly durations?: readonly { readonly at: number; readonly by: number }[];
  /** Moments before which the player hesitates, in seconds. */
  readonly hesitations?: readonly { readonly at: number; readonly seconds: number }[];
  /** Notes struck otherwise: chance of a neighbouring key. */
  readonly wrong?: number;
  readonly missed?: number;
  readonly extra?: number;
  /** Slows down over the last bar to so much of the tempo. */
  readonly ritardando?: number;
  /** Standard deviation of motor noise, in milliseconds. @defaultValue 8 */
  readonly noiseMs?: number;
  /** Standard deviation of the slow drift, as a share of the beat. @defaultValue 0.02 */
  readonly drift?: number;
  readonly lateLeftMs?: number;
  readonly velocitySpread?: number;
  readonly chordSpreadMs?: number;
  /** How much of each note is held. */
  readonly held?: number;
  /** Every key of that name comes so many semitones higher. */
  readonly always?: { readonly pitchClass: number; readonly by: number };
  readonly swing?: number;
}

/**
 * A take by a model of people of its own, apart from `simulateTake`: intervals between beats drift as 1/f noise (Gilden, Thornton & Mallon
 * (1995), 1/f noise in human cognition, Science 267), with white motor noise on each key (Wing & Kristofferson (1973)), durations can be
 * misread and moments hesitated before, and the player does more than play the piece once through.
 */
export const person = (score: Score, seed: number, habits: Habits = {}): readonly PlayedNote[] => {
  const chance = chanceOf(seed, 3);
  const { noiseMs = 8, drift = 0.02, held = 0.92, shift = { right: 0, left: 0 } } = habits;
  const bar = beatsToNumber(barLength(score.metre));
  const pace = 60 / (habits.tempo ?? score.tempo);
  // Voss: octaves of random steps; every sum of them is 1/f.
  const octaves = Array.from({ length: 6 }, () => chance.normal());
  let count = 0;
  const pink = (): number => {
    count++;
    octaves.forEach((_, i) => {
      if (count % 2 ** i === 0) octaves[i] = chance.normal();
    });
    return octaves.reduce((a, b) => a + b, 0) / Math.sqrt(octaves.length);
  };
  const notes = (["right", "left"] as const).flatMap((hand) => {
    const feel = partFeel(score.feel, hand);
    return score[hand].flatMap((event) => {
      const span = soundingSpan(
        habits.swing === undefined ? feel : { ...feel, ratio: { first: Math.round(10 * habits.swing), second: 10 } },
        event,
      );
      const [at, lasts] = [beatsToNumber(span.at), beatsToNumber(span.duration)];
      const keys = event.pitches.map((p, i) => ({
        hand,
        at,
        lasts,
        midi: midiNumber(p),
        order: i,
        of: event.pitches.length,
        grace: 0,
      }));
      const graces = (event.graces ?? []).map((g, i, all) => ({
        hand,
        at,
        lasts: 0.1,
        midi: midiNumber(g.pitch),
        order: 0,
        of: 1,
        grace: all.length - i,
      }));
      return [...graces, ...keys].map((one) => ({ ...one, velocity: event.velocity ?? (hand === "right" ? 80 : 68) }));
    });
  });
  const out: PlayedNote[] = [];
  let now = 1;
  const noodle = (): void => {
    const keys = habits.noodleKeys ?? 8;
    now += 0.8;
    for (let i = 0; i < keys; i++) {
      out.push({
        onsetSeconds: now,
        durationSeconds: 0.2,
        midi: chance.between(48, 84),
        velocity: chance.between(40, 80),
      });
      now += 0.12 + 0.5 * chance.share();
    }
    now += 0.9;
  };
  const stretches = habits.stretches ?? [{ hands: "both", from: 1, to: score.bars }];
  if (habits.noodle?.includes("before")) noodle();
  if (habits.countIn !== undefined) {
    for (let i = 0; i < habits.countIn; i++) {
      out.push({
        onsetSeconds: now + 0.01 * chance.normal(),
        durationSeconds: 0.1,
        midi: habits.countInKey ?? 60,
        velocity: 60,
      });
      now += pace;
    }
  }
  stretches.forEach((stretch, s) => {
    if (s > 0) {
      if (habits.noodle?.includes("between")) noodle();
      now += stretch.after ?? 0;
    }
    const [from, to] = [stretch.from <= 1 ? -bar : (stretch.from - 1) * bar, stretch.to * bar];
    const own = notes.filter(
      ({ hand, at }) => (stretch.hands === "both" || hand === stretch.hands) && at >= from - 1e-9 && at < to - 1e-9,
    );
    const origin = Math.min((stretch.from - 1) * bar, ...own.map(({ at }) => at));
    // Seconds at each sixteenth of a quarter, with drift, misread durations and hesitations on the way.
    const grain = 1 / 48;
    const times = [0];
    let speed = 1 + drift * pink();
    const extra = (beat: number): number =>
      (habits.durations ?? []).reduce((sum, d) => sum + (Math.abs(d.at - beat) < grain / 2 ? d.by * pace : 0), 0) +
      (habits.hesitations ?? []).reduce((sum, h) => sum + (Math.abs(h.at - beat) < grain / 2 ? h.seconds : 0), 0);
    const end = stretch.to * bar;
    for (let i = 0; origin + i * grain <= end + 2; i++) {
      const beat = origin + i * grain;
      if (Math.abs(beat - Math.round(beat)) < grain / 2) speed = 1 + drift * pink();
      const late = habits.ritardando === undefined ? 0 : Math.max(0, (beat - (end - bar)) / bar);
      const slow = 1 / (1 - Math.min(1, late) * (1 - (habits.ritardando ?? 1)));
      times.push((times[i] ?? 0) + grain * pace * speed * slow + extra(beat));
    }
    const secondsAt = (beat: number): number => {
      const x = (beat - origin) / grain;
      const i = Math.max(0, Math.min(times.length - 2, Math.floor(x + 1e-6)));
      const [a = 0, b = 0] = [times[i], times[i + 1]];
      // A misread duration lies in one grain: what stands there is before it.
      return x - i < 1e-3 ? a : a + (b - a) * (x - i);
    };
    let last = now;
    for (const note of own) {
      if (chance.share() < (habits.missed ?? 0)) continue;
      const slip =
        chance.share() < (habits.wrong ?? 0)
          ? chance.pick([
              [1, 1],
              [-1, 1],
              [2, 1],
              [-2, 1],
            ] as const)
          : 0;
      const always = habits.always?.pitchClass === note.midi % 12 ? habits.always.by : 0;
      const at =
        now +
        secondsAt(note.at) +
        (noiseMs / 1000) * chance.normal() -
        note.grace * 0.07 +
        (note.hand === "left" ? (habits.lateLeftMs ?? 0) / 1000 : 0) +
        (note.of > 1 ? ((habits.chordSpreadMs ?? 8) / 1000) * (note.order / (note.of - 1)) : 0);
      const length = Math.max(0.03, held * (secondsAt(note.at + note.lasts) - secondsAt(note.at)));
      const velocity = Math.max(
        1,
        Math.min(127, Math.round(note.velocity + (habits.velocitySpread ?? 4) * chance.normal())),
      );
      const midi = note.midi + slip + always + shift[note.hand];
      out.push({ onsetSeconds: at, durationSeconds: length, midi, velocity });
      if (chance.share() < (habits.extra ?? 0))
        out.push({
          onsetSeconds: at + 0.05,
          durationSeconds: 0.05,
          midi:
            midi +
            chance.pick([
              [1, 1],
              [-1, 1],
            ] as const),
          velocity: 35,
        });
      last = Math.max(last, at);
    }
    now = Math.max(last + 0.01, now + secondsAt(end));
  });
  if (habits.noodle?.includes("after")) noodle();
  const layered =
    habits.layer === true ? out.map((note) => ({ ...note, midi: Math.min(127, note.midi + 12), channel: 1 })) : [];
  const twice =
    habits.doubled === true
      ? out.map((note) => ({ ...note, onsetSeconds: note.onsetSeconds + 0.002, channel: 1 }))
      : [];
  const all = [...out.map((note) => ({ ...note, channel: 0 })), ...layered, ...twice];
  const first = Math.min(...all.map((note) => note.onsetSeconds));
  return all
    .map((note) => ({ ...note, onsetSeconds: note.onsetSeconds - Math.min(0, first) }))
    .sort((a, b) => a.onsetSeconds - b.onsetSeconds || a.midi - b.midi);
};
