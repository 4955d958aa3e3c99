import { APART, COST, pitchCost, timeCost } from "../assess/inner.ts";
import type { Hand } from "../event/index.ts";
import { firstPlace, nth } from "../ground/list.ts";
import type { HandMusic, Landing, Music } from "./music.ts";
import { missing, momentFrom } from "./music.ts";

/** A key as it was struck. */
export interface Key {
  /** Its index in the take. */
  readonly index: number;
  readonly midi: number;
  readonly seconds: number;
  readonly hand?: Hand | undefined;
}

/** What one key was taken for, and what was passed over before it; the steps behind lead back to the last that is settled. */
export interface Step {
  before: Step | undefined;
  /** Keys heard and clock ticks that mattered, this one included. */
  readonly count: number;
  /** Index of the key in the take; -1 where time alone went by. */
  readonly key: number;
  /** Index of the asked note, -1 for none, -2 where the score had been left. */
  readonly note: number;
  /** Whether it was the key asked for. */
  readonly right: boolean;
  readonly skipped: readonly number[];
  readonly jump: boolean;
}

/** One way to read what was heard. */
export interface Reading {
  /** The moment at which each hand stands, and which of its notes are behind, a bit each. */
  readonly right: number;
  readonly rightMet: number;
  readonly left: number;
  readonly leftMet: number;
  readonly cost: number;
  readonly step: Step | undefined;
  /** The player's clock: a place, when it was played, seconds a quarter note, and on how many moments that rests. */
  readonly beat: number;
  readonly seconds: number;
  readonly pace: number;
  readonly sure: number;
}

// How many readings are kept, and how many places of the score are tried for a key that fits nowhere near.
const MOST_READINGS = 48;
const MOST_LANDINGS = 24;
// No reading is worth more than the cheapest and a jump.
const CEILING = COST.seamless;
// Readings that cost so much more than the cheapest are no longer waited for.
const SURE_BY = 9;
// Being late costs at most this: who stops to think plays the same note.
const MOST_LATE = 3;
const PER_JUMP = 1e-4;
const ALONE = 1e-3;
// Moments that a clock needs before it is asked, and how fast it follows the player.
const FEWEST_SURE = 3;
const FOLLOWS = 0.3;
// A gap as many times as long as most is a silence.
const SILENCE = 1.5;
const RECENT = 32;

/** A place in beats that a clock outside gives for a moment, where the player goes by the band. */
export type BandBeat = (seconds: number) => number;

/**
 * The readings of what was heard that are worth keeping, cheapest first. The costs are those of `alignTake`, save that a right key costs for being off the
 * player's clock, at most 3; work for a key is bounded by the readings and places tried, whatever the length of the score.
 */
export class Reader {
  readings: readonly Reading[];
  private away: { readonly cost: number; readonly step: Step | undefined; readonly from: Reading } | undefined;
  private count = 0;
  private last = -Infinity;
  private readonly gaps: number[] = [];
  private readonly longStep: number;

  constructor(
    private readonly music: Music,
    pace: number,
    private readonly band: BandBeat | undefined,
    private readonly shift: Readonly<Record<Hand, number>>,
    private readonly most: number = MOST_READINGS,
  ) {
    const { asked, right, left } = music;
    const start: Reading = {
      right: 0,
      rightMet: 0,
      left: 0,
      leftMet: 0,
      cost: 0,
      step: undefined,
      beat: asked[0]?.sounds ?? 0,
      seconds: -Infinity,
      pace,
      sure: 0,
    };
    const both = right.moments.length > 0 && left.moments.length > 0;
    this.readings = both
      ? [
          start,
          { ...start, left: left.moments.length, cost: ALONE },
          { ...start, right: right.moments.length, cost: ALONE },
        ]
      : [start];
    if (band === undefined) this.away = { cost: 0, step: undefined, from: start };
    const places = [...new Set(asked.map(({ sounds }) => sounds))];
    const steps = places.slice(1).map((place, i) => place - nth(places, i));
    this.longStep = steps.length === 0 ? 1 : quantile(steps, 0.95) / quantile(steps, 0.75);
  }

  get best(): Reading {
    return nth(this.readings, 0);
  }

  /** What the cheapest way to read all that was heard costs. */
  get worth(): number {
    return Math.min(this.best.cost, this.away?.cost ?? Infinity);
  }

  /** Whether the cheapest way is to think that something else is being played, coming back from it counted. */
  get isAway(): boolean {
    return this.away !== undefined && this.away.cost + COST.depart < this.best.cost;
  }

  /** Hears a key. */
  hear(key: Key): void {
    const gap = key.seconds - this.last;
    const usual = SILENCE * quantile(this.gaps, 0.75);
    const silent = gap > usual * this.longStep;
    if (gap > 0.04 && gap < Infinity) {
      this.gaps.push(gap);
      if (this.gaps.length > RECENT) this.gaps.shift();
    }
    this.last = key.seconds;
    this.count++;
    const next = new Map<string, Reading>();
    const cheapest = this.best;
    const limit = Math.min(cheapest.cost, this.away?.cost ?? Infinity) + CEILING + COST.extra;
    for (const reading of this.readings) {
      this.take(reading, key, next, limit);
      put(next, {
        ...reading,
        cost: reading.cost + COST.extra,
        step: this.step(reading.step, key, -1, [], false),
      });
    }
    if (this.band === undefined) {
      this.land(key, next, cheapest, gap > usual, silent);
      this.leave(cheapest, key, gap > usual);
    }
    this.readings = [...next.values()].sort((a, b) => a.cost - b.cost).slice(0, this.most);
    const most = Math.min(this.best.cost, this.away?.cost ?? Infinity) + CEILING;
    const within = this.readings.filter(({ cost }) => cost <= most);
    this.readings = within.length === 0 ? [this.best] : within;
  }

  /** The steps on which all readings agree that are worth so much, as far as they are so many keys behind; what comes before them is let go. */
  settle(lag: number, most: number): { readonly steps: readonly Step[]; readonly forced: boolean } {
    const best = this.isAway ? this.away?.step : this.best.step;
    const worth = Math.min(this.best.cost, this.away?.cost ?? Infinity) + SURE_BY;
    let common = best;
    for (const { cost, step } of this.readings) if (cost < worth) common = meeting(common, step);
    if (this.away !== undefined && this.away.cost < worth) common = meeting(common, this.away.step);
    // Memory is bounded: after so many keys the cheapest reading is believed.
    const forced = this.count - most;
    const until = Math.max(forced, Math.min(common?.count ?? 0, this.count - lag));
    const last = stepAt(best, until);
    if (last === undefined || last.count <= this.settled) return { steps: [], forced: false };
    const agrees = (step: Step | undefined): boolean => stepAt(step, last.count) === last;
    const from = this.away?.from ?? this.best;
    this.readings = this.readings.filter(({ step }) => agrees(step));
    if (this.away !== undefined && !agrees(this.away.step)) this.away = undefined;
    if (this.readings.length === 0) this.readings = [{ ...from, cost: this.away?.cost ?? from.cost, step: best }];
    const steps: Step[] = [];
    for (let at: Step | undefined = last; at !== undefined && at.count > this.settled; at = at.before) steps.push(at);
    last.before = undefined;
    this.settled = last.count;
    return { steps: steps.reverse(), forced: until === forced };
  }

  private settled = 0;

  /** The steps of the cheapest reading that are not settled, in order. */
  open(): readonly Step[] {
    const steps: Step[] = [];
    for (let at = this.isAway ? this.away?.step : this.best.step; at !== undefined; at = at.before) steps.push(at);
    return steps.reverse().filter(({ count }) => count > this.settled);
  }

  private step(
    before: Step | undefined,
    key: Key | undefined,
    note: number,
    skipped: readonly number[],
    jump: boolean,
  ): Step {
    const asked = this.music.asked[note];
    const right = asked !== undefined && key !== undefined && asked.midi + this.shift[asked.hand] === key.midi;
    return { before, count: this.count, key: key?.index ?? -1, note, right, skipped, jump };
  }

  /** Lets time go by, by the band's clock: what should have been played before a place is left out. */
  pass(beat: number): void {
    const { right, left } = this.music;
    if (!this.readings.some((one) => nth(right.times, one.right) < beat || nth(left.times, one.left) < beat)) return;
    this.count++;
    const next = new Map<string, Reading>();
    for (const reading of this.readings) {
      const [r, l] = [this.behind(reading, right, beat), this.behind(reading, left, beat)];
      const skipped = [...r.skipped, ...l.skipped];
      put(next, {
        ...reading,
        right: r.at,
        rightMet: r.met,
        left: l.at,
        leftMet: l.met,
        cost: reading.cost + r.cost + l.cost,
        step: skipped.length === 0 ? reading.step : this.step(reading.step, undefined, -1, skipped, false),
      });
    }
    this.readings = [...next.values()].sort((a, b) => a.cost - b.cost);
  }

  /** Begins at the top again, as the band does. */
  again(): void {
    this.count++;
    const { right, left } = this.music;
    const top = { ...this.best, right: 0, rightMet: 0, left: 0, leftMet: 0 };
    const step = this.step(top.step, undefined, -1, [], true);
    const both = right.moments.length > 0 && left.moments.length > 0;
    this.readings = [
      { ...top, step },
      ...(both ? [{ ...top, step, left: left.moments.length, cost: top.cost + ALONE }] : []),
      ...(both ? [{ ...top, step, right: right.moments.length, cost: top.cost + ALONE }] : []),
    ];
  }

  /** What it costs to take a key for a note. */
  private price(reading: Reading, note: number, key: Key): number {
    const { midi, hand, sounds } = nth(this.music.asked, note);
    if (key.hand !== undefined && key.hand !== hand) return Infinity;
    const pitch = pitchCost(midi + this.shift[hand], key.midi);
    if (pitch === Infinity) return Infinity;
    if (this.band !== undefined) return pitch + timeCost(this.band(key.seconds) - sounds);
    if (reading.sure < FEWEST_SURE) return pitch;
    const off = reading.beat + (key.seconds - reading.seconds) / reading.pace - sounds;
    return pitch + Math.min(MOST_LATE, timeCost(off));
  }

  private take(reading: Reading, key: Key, next: Map<string, Reading>, limit: number): void {
    const { right, left } = this.music;
    this.takeIn(reading, right, reading.right, reading.rightMet, left, key, next, limit);
    this.takeIn(reading, left, reading.left, reading.leftMet, right, key, next, limit);
  }

  private takeIn(
    reading: Reading,
    own: HandMusic,
    from: number,
    met: number,
    other: HandMusic,
    key: Key,
    next: Map<string, Reading>,
    limit: number,
  ): void {
    const skipped: number[] = [];
    let cost = reading.cost;
    for (let [moment, mask] = [from, met]; moment < own.moments.length && cost < limit; moment++, mask = 0) {
      const notes = nth(own.moments, moment);
      notes.forEach((note, bit) => {
        if ((mask & (1 << bit)) !== 0) return;
        const price = cost + this.price(reading, note, key);
        if (price >= limit) return;
        const behind = this.behind(reading, other, nth(own.times, moment) - APART);
        const total = price + behind.cost;
        if (total >= limit) return;
        const done = mask | (1 << bit);
        const [at, left] = done === 2 ** notes.length - 1 ? [moment + 1, 0] : [moment, done];
        const name =
          own.hand === "right" ? nameOf(at, left, behind.at, behind.met) : nameOf(behind.at, behind.met, at, left);
        if (!improves(next, name, total)) return;
        next.set(name, {
          ...this.clocked(reading, note, key),
          ...(own.hand === "right"
            ? { right: at, rightMet: left, left: behind.at, leftMet: behind.met }
            : { left: at, leftMet: left, right: behind.at, rightMet: behind.met }),
          cost: total,
          step: this.step(reading.step, key, note, [...skipped, ...behind.skipped], false),
        });
      });
      notes.forEach((note, bit) => {
        if ((mask & (1 << bit)) !== 0) return;
        skipped.push(note);
        cost += missing(nth(this.music.asked, note));
      });
    }
  }

  /** The other hand, with what it has left out once a time is reached. */
  private behind(
    reading: Reading,
    { hand, moments, times }: HandMusic,
    time: number,
  ): { readonly at: number; readonly met: number; readonly cost: number; readonly skipped: readonly number[] } {
    let [at, met] = hand === "right" ? [reading.right, reading.rightMet] : [reading.left, reading.leftMet];
    let cost = 0;
    const skipped: number[] = [];
    while ((times[at] ?? Infinity) < time) {
      nth(moments, at).forEach((note, bit) => {
        if ((met & (1 << bit)) !== 0) return;
        skipped.push(note);
        cost += missing(nth(this.music.asked, note));
      });
      at++;
      met = 0;
    }
    return { at, met, cost, skipped };
  }

  private clocked(reading: Reading, note: number, key: Key): Reading {
    const { midi, hand, sounds, grace } = nth(this.music.asked, note);
    if (grace || midi + this.shift[hand] !== key.midi) return reading;
    const { beat, seconds, pace, sure } = reading;
    if (seconds === -Infinity) return { ...reading, beat: sounds, seconds: key.seconds };
    const quarters = sounds - beat;
    if (quarters < 0.2) return reading;
    const own = (key.seconds - seconds) / quarters;
    const ratio = own / pace;
    // The first step tells the tempo; later ones move it, and a stop does not.
    const reach = sure === 0 ? 5 : 1.8;
    const believed = ratio < reach && ratio > 1 / reach;
    const share = sure === 0 ? 1 : FOLLOWS * Math.min(1, quarters);
    return {
      ...reading,
      beat: sounds,
      seconds: key.seconds,
      pace: believed ? pace + share * (own - pace) : pace,
      sure: sure + 1,
    };
  }

  /** Tries other places of the score: where the player went elsewhere, or comes back to it. */
  private land(key: Key, next: Map<string, Reading>, cheapest: Reading, paused: boolean, silent: boolean): void {
    let least = Infinity;
    for (const { cost } of next.values()) least = Math.min(least, cost);
    const inside = this.away === undefined || cheapest.cost < this.away.cost + COST.leave;
    // Going elsewhere can wait for as long as the cheapest reading stays as cheap.
    const go =
      inside && (silent || least > cheapest.cost + 1) ? cheapest.cost + (silent ? COST.jump : COST.seamless) : Infinity;
    const back =
      this.away === undefined ? Infinity : this.away.cost + (paused || this.count === 1 ? COST.depart : COST.leave);
    if (Math.min(go, back) >= least + CEILING) return;
    const front = this.front(inside ? cheapest : (this.away?.from ?? cheapest));
    const [from, price] = go <= back ? [cheapest, go] : [this.away?.from ?? cheapest, back];
    const before = go <= back ? cheapest.step : this.away?.step;
    const places = this.wanting(key, front);
    for (const { hand, moment, note } of places) {
      const { right, left, asked } = this.music;
      const [own, other] = hand === "right" ? [right, left] : [left, right];
      const bit = nth(own.moments, moment).indexOf(note);
      const full = nth(own.moments, moment).length === 1;
      const [at, met] = full ? [moment + 1, 0] : [moment, 1 << bit];
      const by = (note - front) / asked.length;
      const cost = price + PER_JUMP * (by > 0 ? 1 + by : -by);
      const time = nth(own.times, moment);
      const along = momentFrom(other, time - 1e-9);
      for (const place of other.moments.length === 0 ? [0] : [along, other.moments.length])
        put(next, {
          ...from,
          ...(hand === "right"
            ? { right: at, rightMet: met, left: place, leftMet: 0 }
            : { left: at, leftMet: met, right: place, rightMet: 0 }),
          beat: time,
          seconds: key.seconds,
          cost: cost + (place === along ? 0 : ALONE),
          step: this.step(before, key, note, [], true),
        });
    }
  }

  /** The places of the score that want a key, the nearest and the first. */
  private wanting(key: Key, front: number): readonly Landing[] {
    const { right, left } = this.shift;
    const found = (right === left ? [right] : [right, left]).flatMap((shift) =>
      (this.music.landings.get(key.midi - shift) ?? []).filter(
        ({ hand }) => this.shift[hand] === shift && (key.hand === undefined || key.hand === hand),
      ),
    );
    const most = Math.min(MOST_LANDINGS, this.most);
    return nearest(right === left ? found : found.sort((a, b) => a.note - b.note), front, most);
  }

  private leave(cheapest: Reading, key: Key, paused: boolean): void {
    const leaving = cheapest.cost + (paused || this.count === 1 ? COST.depart : COST.leave);
    const stays = this.away !== undefined && this.away.cost <= leaving;
    const from = stays && this.away !== undefined ? this.away.from : cheapest;
    const before = stays && this.away !== undefined ? this.away.step : cheapest.step;
    const cost = (stays && this.away !== undefined ? this.away.cost : leaving) + COST.aside;
    this.away = { cost, step: this.step(before, key, -2, [], false), from };
  }

  /** Index of the note that comes next in a reading. */
  front({ right, left }: Reading): number {
    const { music } = this;
    const next = [music.right.moments[right]?.[0], music.left.moments[left]?.[0]].filter((note) => note !== undefined);
    return next.length === 0 ? music.asked.length : Math.min(...next);
  }
}

const nameOf = (right: number, rightMet: number, left: number, leftMet: number): string =>
  `${right} ${rightMet} ${left} ${leftMet}`;

const improves = (next: ReadonlyMap<string, Reading>, name: string, cost: number): boolean =>
  cost < (next.get(name)?.cost ?? Infinity);

const put = (next: Map<string, Reading>, reading: Reading): void => {
  const name = nameOf(reading.right, reading.rightMet, reading.left, reading.leftMet);
  if (improves(next, name, reading.cost)) next.set(name, reading);
};

const quantile = (values: readonly number[], share: number): number => {
  if (values.length === 0) return Infinity;
  const sorted = [...values].sort((a, b) => a - b);
  return nth(sorted, Math.floor(share * (sorted.length - 1)));
};

/** Where two ways to read part. */
const meeting = (a: Step | undefined, b: Step | undefined): Step | undefined => {
  let [one, other] = [a, b];
  while (one !== other) {
    if ((one?.count ?? 0) >= (other?.count ?? 0)) one = one?.before;
    else other = other?.before;
  }
  return one;
};

const stepAt = (step: Step | undefined, count: number): Step | undefined => {
  let at = step;
  while (at !== undefined && at.count > count) at = at.before;
  return at;
};

/** The places that lie nearest to where the player was, and the first of all. */
const nearest = (places: readonly Landing[], front: number, most: number): readonly Landing[] => {
  if (places.length <= most) return places;
  const low = firstPlace(places, ({ note }) => note >= front);
  const start = Math.max(1, Math.min(places.length, low + most / 2) - most + 1);
  return [nth(places, 0), ...places.slice(start, start + most - 1)];
};
