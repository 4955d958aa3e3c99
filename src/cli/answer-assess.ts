import * as v from "valibot";
import {
  bar,
  bars,
  caution,
  document,
  exact,
  figure,
  files,
  hand,
  hands,
  lineFinding,
  named,
  pitch,
  sentences,
  tally,
  text,
  words,
} from "./answer-fields.ts";

const accuracyFields = {
  asked: tally("Notes asked for, each as often as the student came to it; notes that no run came to count once."),
  right: tally("Notes played as asked for."),
  wrong: tally("Notes with another key in their place."),
  missed: tally("Notes asked for and not played."),
  extra: tally("Notes played and not asked for."),
  accuracy: v.pipe(
    v.number(),
    v.minValue(0),
    v.maxValue(1),
    v.description("Right notes as a share of all that were asked for or added."),
  ),
};

const estimate = (description: string) =>
  v.pipe(
    v.strictObject({
      value: figure("As measured."),
      low: figure("Lower end of the range of about 95 %."),
      high: figure("Upper end of that range."),
    }),
    v.description(description),
  );

const swingMeasured = v.strictObject({
  kind: v.literal("swing-measurement"),
  unit: v.picklist(["eighth", "16th"]),
  pairs: tally("Pairs of notes that the figures rest on."),
  ratio: estimate("Where the offbeat divides the beat of the pulse."),
  beatUpbeatRatio: estimate("Ratio of the two sounding lengths, as heard from the late downbeat."),
  downbeatDelay: estimate("How late the first notes of the pairs are, in quarter notes."),
});

const handReport = v.strictObject({
  hand,
  ...accuracyFields,
  timing: v.exactOptional(
    v.strictObject({
      moments: tally("Moments that the figures rest on."),
      meanMs: figure("How late by the player's own clock, in milliseconds; negative when early."),
      meanBeats: figure("The same as a share of a quarter note."),
      spreadMs: figure("Spread about what is usual at the same place of the beat, in milliseconds."),
      spreadBeats: figure("The same as a share of a quarter note."),
    }),
  ),
  swing: v.exactOptional(
    v.strictObject({
      asked: figure("First to second, as one number: 2 for 2:1."),
      measured: swingMeasured,
      spread: figure("Spread of the offbeats, as a share of the pair."),
    }),
  ),
  triplets: v.exactOptional(
    v.strictObject({
      beats: tally("Full triplets that the figures rest on."),
      second: figure("How late the second of three is, as a share of the triplet's length."),
      third: figure("How late the third of three is."),
      spread: figure("Spread of both about their means."),
    }),
  ),
  held: v.exactOptional(
    v.strictObject({
      notes: tally("Notes that are written a quarter or longer."),
      short: tally("Of these, notes let go before three fifths of their length."),
      share: figure("Median share of the written length."),
    }),
  ),
  chords: v.exactOptional(
    v.strictObject({
      chords: tally("Chords that the figures rest on."),
      keys: figure("Median number of their keys."),
      medianMs: figure("Median time from the first key to the last, in milliseconds."),
    }),
  ),
  touch: v.exactOptional(
    v.strictObject({
      notes: tally("Notes that the figures rest on."),
      mean: figure("Mean velocity, 1 to 127."),
      spread: figure("Spread of velocity about its neighbours."),
      byFinger: v.pipe(
        v.record(v.pipe(v.string(), v.regex(/^[1-5]$/, "a finger")), v.number()),
        v.description("By finger, how much harder it strikes than the hand as a whole."),
      ),
    }),
  ),
  legato: v.exactOptional(
    v.strictObject({
      notes: tally("Notes shorter than a quarter that the next one follows at once."),
      share: figure("Median share of the way to the next note for which the key is held."),
    }),
  ),
  accents: v.exactOptional(
    v.strictObject({
      notes: tally("Notes on the beat and off it, the fewer of the two."),
      offbeats: figure("How much louder the offbeats are than the beats, in velocity."),
      doubt: figure("Twice the standard error of that."),
      shape: figure('Correlation with the velocities of the touch "played", -1 to 1.'),
    }),
  ),
});

const findingShape = v.strictObject({
  id: words("Which finding; its threshold stands in the guide to assessment."),
  weight: figure("How much it matters beside the others: about 1 for what must be fixed first."),
  hand: v.exactOptional(hand),
  bars,
  message: words("For the student, in one or two sentences."),
  figures: v.pipe(v.record(v.string(), v.number()), v.description("The figures that it rests on.")),
});

const stepShape = v.strictObject({
  kind: v.literal("practice-step"),
  finding: words("The finding that it answers."),
  hands,
  bars,
  of: v.pipe(
    v.picklist(["drill", "score"]),
    v.description("Whether the recipe makes a drill's sheet, or names bars and hands of the score that was assessed."),
  ),
  recipe: v.pipe(
    v.looseObject({
      key: words("Key with its mode where minor."),
      tempo: v.exactOptional(figure("Quarter notes a minute; none is safe for every hand.")),
      repeats: v.exactOptional(tally("How many times the whole is played.", 1)),
      hands: v.exactOptional(hands),
      bars: v.exactOptional(v.strictTuple([bar, bar])),
      score: v.exactOptional(v.string()),
    }),
    v.description("A recipe for drill, or bars and hands of the score."),
  ),
  how: words("How to play it, in a sentence."),
  caution: words("When to stop."),
});

const index = (description: string) => tally(description);
const placeFields = { bar, beat: exact("Beat of the bar, from 1.") };

const ignored = v.exactOptional(sentences("Ignored", "What of the recording was not compared, and why."));

const alignmentShape = v.strictObject({
  kind: v.literal("alignment"),
  asked: v.array(
    v.strictObject({
      index: index("Its place in this list, from 0."),
      hand,
      event: index("Its event in that hand of the score, from 0."),
      pitch,
      midi: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(127)),
      finger: v.exactOptional(v.picklist([1, 2, 3, 4, 5])),
      grace: v.boolean(),
      ...placeFields,
      sounds: figure("Where it sounds, feel included, in quarter notes from the first bar line."),
      lasts: figure("Sounding length in quarter notes."),
      velocity: figure("The velocity asked for, 1 to 127."),
    }),
  ),
  notes: v.array(
    v.strictObject({
      state: v.picklist(["right", "wrong", "missed", "extra"]),
      run: index("The run in which it happened, from 0."),
      hand,
      asked: v.exactOptional(index("Its place among what was asked; absent for an extra note.")),
      played: v.exactOptional(index("Its place in the take; absent for a missed note.")),
      offMs: v.exactOptional(figure("How late by the player's own clock, in milliseconds; negative when early.")),
      heard: v.exactOptional(figure("Where it was heard, in quarter notes from the first bar line.")),
      lasted: v.exactOptional(figure("How long it was held, in quarter notes.")),
    }),
  ),
  runs: v.array(
    v.strictObject({
      hands,
      begins: v.picklist(["start", "back", "again", "ahead"]),
      from: v.strictObject(placeFields),
      to: v.strictObject(placeFields),
      misread: v.array(
        v.strictObject({
          ...placeFields,
          asked: figure("As written, in quarter notes."),
          played: figure("As played, in quarter notes."),
        }),
      ),
      pauses: v.array(v.strictObject({ ...placeFields, seconds: figure("How long the player stopped.") })),
      tempos: v.array(
        v.strictObject({
          quarter: figure("Quarter notes from the first bar line."),
          tempo: figure("Quarter notes a minute."),
        }),
      ),
    }),
  ),
  leftOut: v.array(index("An asked note that no run came to.")),
  attempt: v.strictObject({
    hands,
    bars: v.strictObject({ from: bar, to: bar }),
    whole: v.boolean(),
    times: tally("How often it was begun at its first bar."),
    countIn: tally("Keys tapped before the first note."),
    aside: v.array(index("A key of the take that belongs to something else.")),
    doubled: tally("How many of these a layer or a second channel sounded once more."),
    clicks: tally("How many of these a metronome clicked."),
    ornaments: tally("How many of these are a trill's."),
  }),
  shift: v.strictObject({
    right: figure("Semitones above what is written."),
    left: figure("Semitones above what is written."),
  }),
  cost: figure("The least cost of reading the keys as the score."),
});

const assessmentFields = {
  kind: named(v.literal("assessment"), "Kind", "What it is."),
  version: named(v.literal(1), "Version", "Of this document."),
  title: text("Title", "The score's."),
  bars: named(tally("Bars of the score."), "Bars", "Of the score."),
  barLength: named(v.number(), "Length of a bar", "In quarter notes."),
  accuracy: named(v.strictObject(accuracyFields), "Accuracy", "All notes of both hands."),
  hands: named(v.array(handReport), "Hands", "Each hand that was asked for."),
  barReports: named(
    v.array(
      v.strictObject({
        ...accuracyFields,
        hand,
        bar,
        meanMs: v.exactOptional(figure("Mean lateness, in milliseconds.")),
        spreadMs: v.exactOptional(figure("Its spread, in milliseconds.")),
      }),
    ),
    "Bar by bar",
    "Each hand in each bar, over all runs.",
  ),
  together: v.exactOptional(
    named(
      v.strictObject({
        moments: tally("Moments at which both strike."),
        leftAfterMs: figure("How late the left hand is after the right, in milliseconds: the median."),
        spreadMs: figure("Its spread, in milliseconds."),
      }),
      "Together",
      "Both hands where they strike together; absent for fewer than three such moments.",
    ),
  ),
  balance: v.exactOptional(
    named(
      v.strictObject({
        right: figure("Mean velocity."),
        left: figure("Mean velocity."),
        asked: figure("How much louder the right hand is asked to be."),
        doubt: figure("Twice the standard error of the difference."),
      }),
      "Balance",
      "How loud the hands are beside each other, where the instrument tells.",
    ),
  ),
  pedal: v.exactOptional(
    named(
      v.strictObject({
        notes: tally("Notes that it held on."),
        blurred: tally("Of these, notes that it held into another chord for half a beat or more."),
        bars,
      }),
      "Pedal",
      "What the sustain pedal did, where the take has one.",
    ),
  ),
  tempo: named(
    v.strictObject({
      asked: figure("The score's."),
      played: figure("The median."),
      start: figure("At the start of the longest run, by a straight line through it."),
      end: figure("At its end."),
      sway: figure("Spread about that line, as a share of the tempo."),
      besideArches: figure("The same beside arches that come back with the phrases."),
    }),
    "Tempo",
    "In quarter notes a minute.",
  ),
  band: v.exactOptional(
    named(
      v.strictObject({
        tempo: figure("Quarter notes a minute of the band."),
        startSeconds: figure("Seconds of the take at the first bar line."),
        moments: tally("Moments that the figures rest on."),
        lateMs: figure("How late on the whole, in milliseconds: the median; negative when ahead."),
        spreadMs: figure("Spread about that, in milliseconds, drift aside."),
        startMs: figure("How late at the start of the longest run, in milliseconds."),
        endMs: figure("How late at its end, in milliseconds."),
        byBeat: v.array(
          v.strictObject({
            beat: tally("Beat of the bar, from 1.", 1),
            off: v.pipe(v.boolean(), v.description("Whether these are the notes after the beat.")),
            moments: tally("Moments that the figure rests on."),
            lateMs: figure("How late there, in milliseconds: the median."),
          }),
        ),
        elsewhere: v.array(
          v.strictObject({ bar, bars: figure("How many bars behind the band; negative when ahead.") }),
        ),
      }),
      "Band",
      "Against the band's clock; absent unless that is asked for.",
    ),
  ),
  troubleSpots: named(
    v.array(
      v.strictObject({
        hand,
        difficulty: v.exactOptional(v.picklist(["thumb-under", "cross-over", "leap"])),
        slips: tally("Slips that lie there."),
        of: tally("All slips of that hand."),
        places: v.array(v.strictObject({ ...placeFields, pitch })),
        bars,
      }),
    ),
    "Trouble spots",
    "Where slips gather.",
  ),
  findings: named(v.array(findingShape), "Findings", "Everything found, weightiest first."),
  praise: text("Praise", "What went well, in a sentence."),
  say: named(v.pipe(v.array(findingShape), v.maxLength(3)), "Say", "What to tell the student."),
  practise: named(
    v.pipe(v.array(stepShape), v.maxLength(3)),
    "Practise",
    "What to practise next, one step for each thing said.",
  ),
  alignment: named(alignmentShape, "Alignment", "Note by note."),
};

/** A take held against its score, as `assessTake` gives it. */
export const assessmentSchema = document(
  "Assessment",
  "A take held against its score: what went well, what to tell the student, what to practise next, and each note. No tempo is safe for every hand.",
  assessmentFields,
);

/** What `assess` prints of a written take. */
export const assessAnswerSchema = document("Answer of assess", "An assessment of a written take.", {
  ...assessmentFields,
  ignored,
  files,
  caution,
});

/** What `assess --improvised` prints. */
export const improvisedAnswerSchema = document(
  "Answer of assess --improvised",
  "What was heard in an improvised take.",
  {
    kind: named(v.literal("improvisation"), "Kind", "What it is."),
    version: named(v.literal(1), "Version", "Of this document."),
    title: text("Title", "The score's."),
    bars: named(tally("Bars of the score."), "Bars", "Of the score."),
    line: named(
      v.array(
        v.strictObject({
          at: exact("Quarter notes from the first bar line."),
          duration: exact("Quarter notes."),
          pitches: v.array(pitch),
        }),
      ),
      "Line",
      "On the nearest eighths, triplets or sixteenths.",
    ),
    phrases: named(
      v.array(
        v.strictObject({
          at: exact("Quarter notes from the first bar line."),
          duration: exact("Quarter notes."),
          ...placeFields,
          notes: tally("How many."),
        }),
      ),
      "Phrases",
      "Parted by ear.",
    ),
    offMs: named(v.number(), "Off", "How far the notes were from there, in milliseconds on the whole."),
    lateMs: named(
      v.number(),
      "Late",
      "By how much the line comes after the beat, in milliseconds; negative where before.",
    ),
    sound: named(
      v.strictObject({
        swing: v.exactOptional(
          v.strictObject({ asked: figure("First to second, as one number."), measured: swingMeasured }),
        ),
        touch: v.exactOptional(
          v.strictObject({
            mean: figure("Mean velocity."),
            spread: figure("Its spread."),
            offbeats: v.exactOptional(figure("How much louder notes off the beat are.")),
          }),
        ),
      }),
      "Sound",
      "How the line is swung and touched.",
    ),
    overChords: named(
      v.array(
        v.strictObject({
          ...placeFields,
          symbol: words("The chord."),
          notes: v.array(
            v.strictObject({
              pitch,
              degree: words("Over the root."),
              role: v.picklist(["chord", "colour", "passing", "outside"]),
            }),
          ),
          figures: v.array(v.string()),
        }),
      ),
      "Over chords",
      "What was played over each chord.",
    ),
    answers: named(
      v.array(
        v.strictObject({
          call: index("A phrase."),
          answer: index("The phrase after it."),
          rhythm: figure("How much of the rhythm they share, 0 to 1."),
          shape: v.exactOptional(figure("How alike their shapes are, -1 to 1.")),
          even: v.boolean(),
          higher: figure("Semitones by which the answer begins above the call."),
        }),
      ),
      "Answers",
      "Each phrase beside the one before it.",
    ),
    riff: v.exactOptional(named(v.number(), "Riff", "How often the figure comes back that the line is built on.")),
    beatFrom: named(v.picklist(["left-hand", "tempo"]), "Beat from", "What told the beat."),
    findings: named(v.array(lineFinding), "Findings", "Every breach of a rule of phrasing, in order of time."),
    left: v.exactOptional(named(v.strictObject(assessmentFields), "Left", "The left hand against the score.")),
    leftHand: named(
      v.picklist(["assessed", "not-written", "not-heard", "another"]),
      "Left hand",
      "Why there is, or is not, an assessment of it.",
    ),
    heard: sentences("Heard", "What was heard of each hand."),
    praise: text("Praise", "What went well, in a sentence."),
    say: named(
      v.pipe(
        v.array(
          v.strictObject({
            about: v.picklist(["line", "left-hand"]),
            id: words("The rule or the finding that it comes from."),
            places: v.array(v.strictObject({ bar, beat: v.exactOptional(exact("Beat of the bar, from 1.")) })),
            text: words("What is heard."),
            how: words("What to try."),
          }),
        ),
        v.maxLength(3),
      ),
      "Say",
      "What to tell the student.",
    ),
    ignored,
    files,
    caution,
  },
);
