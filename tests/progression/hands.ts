import { chartBars, parseChart } from "../../src/progression/index.ts";

/** A chart in somebody's hand, and what must be played: bars parted by strokes, `@` before a beat that is not the first. */
export interface HandCase {
  readonly text: string;
  readonly played: string;
  /** Words of a guess that must be told. */
  readonly told?: readonly string[];
  readonly key?: string;
  readonly metre?: string;
  readonly options?: { readonly key?: string; readonly metre?: string; readonly chordsPerBar?: number };
}

const c = (text: string, played: string, rest: Omit<HandCase, "text" | "played"> = {}): HandCase => ({
  text,
  played,
  ...rest,
});

/** Common practice, no source: how a player would read each of them. */
export const HANDS: readonly HandCase[] = [
  // Bar lines of every make.
  c("Dm7 | G7 | Cmaj7 | Cmaj7", "Dm7 | G7 | Cmaj7 | Cmaj7"),
  c("| Dm7 | G7 |\n| Cmaj7 | % |", "Dm7 | G7 | Cmaj7 | Cmaj7"),
  c("|Dm7|G7|Cmaj7|Cmaj7|", "Dm7 | G7 | Cmaj7 | Cmaj7"),
  c("Dm7 | G7 | Cmaj7 |]", "Dm7 | G7 | Cmaj7"),
  c("[| Dm7 | G7 | Cmaj7 |]", "Dm7 | G7 | Cmaj7"),
  c("Dm7 || G7 || Cmaj7 ||", "Dm7 | G7 | Cmaj7"),
  c("‖: Dm7 │ G7 :‖ Cmaj7 ‖", "Dm7 | G7 | Dm7 | G7 | Cmaj7"),
  c("𝄆 Dm7 𝄀 G7 𝄇 Cmaj7 𝄂", "Dm7 | G7 | Dm7 | G7 | Cmaj7"),
  c("Ｄｍ７｜Ｇ７｜Ｃ", "Dm7 | G7 | C"),
  c("Dm7 ¦ G7 ¦ C", "Dm7 | G7 | C"),
  // Line ends.
  c("Dm7 | G7\nCmaj7 | Cmaj7", "Dm7 | G7 | Cmaj7 | Cmaj7", { told: ["line end"] }),
  c("Key: Bb\n3/4\nSwing 140\nCm7 | F7 | Bbmaj7", "Cm7 | F7 | Bbmaj7", { metre: "3/4", told: ["feel, tempo"] }),
  c("Dm7 | G7\r\nCmaj7 | A7\r\n", "Dm7 | G7 | Cmaj7 | A7", { told: ["line end"] }),
  c("Dm7 | G7 |\n\n\nCmaj7 | A7 |", "Dm7 | G7 | Cmaj7 | A7"),
  c("Dm7 G7\nCmaj7", "Dm7 G7@3 | Cmaj7", { told: ["line end"] }),
  c("C Am Dm G\nC F G C", "C | Am | Dm | G | C | F | G | C", { told: ["one chord a bar"] }),
  c("C\nF\nG7\nC", "C | F | G7 | C", { told: ["one chord a bar"] }),
  // Lists.
  c("Dm7 G7 Cmaj7", "Dm7 | G7 | Cmaj7", { told: ["one chord a bar"] }),
  c("Dm7, G7, Cmaj7", "Dm7 | G7 | Cmaj7"),
  c("Dm7,G7,Cmaj7", "Dm7 | G7 | Cmaj7"),
  c("Dm7; G7; Cmaj7", "Dm7 | G7 | Cmaj7"),
  c("Dm7 - G7 - Cmaj7", "Dm7 | G7 | Cmaj7", { told: ["sign between chords"] }),
  c("Dm7 – G7 – Cmaj7", "Dm7 | G7 | Cmaj7"),
  c("Dm7 — G7 — Cmaj7", "Dm7 | G7 | Cmaj7"),
  c("Dm7-G7-Cmaj7", "Dm7 | G7 | Cmaj7"),
  c("Dm7 → G7 → Cmaj7", "Dm7 | G7 | Cmaj7"),
  c("Dm7 -> G7 -> Cmaj7", "Dm7 | G7 | Cmaj7"),
  c("Dm7 / G7 / Cmaj7", "Dm7 | G7 | Cmaj7", { told: ["sign between chords"] }),
  c("Dm7 G7 Cmaj7 A7", "Dm7 G7@3 | Cmaj7 A7@3", { options: { chordsPerBar: 2 } }),
  // How chords share a bar.
  c("C F G | C", "C F@3 G@4 | C", { told: ["2 + 1 + 1"] }),
  c("C F G Am | C", "C F@2 G@3 Am@4 | C"),
  c("C F | G", "C F@3 | G", { options: { metre: "3/4" }, told: ["2 + 1"] }),
  c("C F G | C", "C F@2 G@3 | C", { options: { metre: "3/4" } }),
  c("C F G | C", "C F@3 G@5 | C", { options: { metre: "5/4" }, told: ["2 + 2 + 1"] }),
  c("C F | G", "C F@2 | G", { options: { metre: "6/8" } }),
  c("C F G | C", "C F@5/3 G@7/3 | C", { options: { metre: "6/8" } }),
  c("C F G Am Dm | C", "C F@2 G@3 Am@4 Dm@9/2 | C", { told: ["1 + 1 + 1 + 1/2 + 1/2"] }),
  c("Dm7*3 G7*1 | C", "Dm7 G7@4 | C"),
  c("Dm7*3 G7 | C", "Dm7 G7@4 | C"),
  c("Dm7*3/2 G7*5/2 | C", "Dm7 G7@5/2 | C"),
  c("Dm7*2 G7*2 Cmaj7*4", "Dm7 G7@3 | Cmaj7", { told: ["bars counted from the beats"] }),
  c("Dm7*2 G7", "Dm7 G7@3"),
  c("Dm7*3 G7 Cmaj7", "Dm7 G7@4 | Cmaj7", { told: ["bars counted from the beats"] }),
  c("Dm7*8 G7*4", "Dm7 | Dm7 | G7"),
  // Strokes as beats.
  c("Dm7 / / / | G7 / / / | C / / /", "Dm7 | G7 | C"),
  c("Dm7 / G7 / | C / / /", "Dm7 G7@3 | C"),
  c("Dm7 / / G7 | C", "Dm7 G7@4 | C"),
  c("Dm7 / / / | / / G7 / | C", "Dm7 | Dm7 G7@3 | C"),
  c("Dm7 / / / | / / / / | C", "Dm7 | Dm7 | C"),
  c("Dm7 | / | G7 | /", "Dm7 | Dm7 | G7 | G7"),
  c("Dm7/// | G7/// | C///", "Dm7 | G7 | C"),
  c("Dm7 //// | G7 // A7 // | Dm7", "Dm7 | G7 A7@3 | Dm7", { told: ["its first included"] }),
  c("Dm7 . . . | G7 . C7 . | F", "Dm7 | G7 C7@3 | F"),
  c("Dm7 - - - | G7 - C7 - | F", "Dm7 | G7 C7@3 | F"),
  c("Dm7 / / / G7 / / / C / / / / / / /", "Dm7 | G7 | C | C", { told: ["counted from the beats"] }),
  c("C / / / / / | F / / G / /", "C | F G@2", { options: { metre: "6/8" } }),
  c("Dm7 / G7 | C", "Dm7 G7@3 | C", { told: ["share a bar"] }),
  // Repeats of bars.
  c("C7 | % | F7 | %", "C7 | C7 | F7 | F7"),
  c("C7 F7 | % | % | G7", "C7 F7@3 | C7 F7@3 | C7 F7@3 | G7"),
  c("C7 | F7 | %% | G7", "C7 | F7 | C7 | F7 | G7"),
  c("C7 | F7 | // | G7", "C7 | F7 | C7 | F7 | G7", { told: ["two bars before"] }),
  c("| C7 | F7 | %% | | G7 |", "C7 | F7 | C7 | F7 | G7", { told: ["second half"] }),
  c("C7 𝄀 𝄎 𝄀 F7", "C7 | C7 | F7"),
  c("C7 | ./. | F7", "C7 | C7 | F7"),
  c("| C7 | | F7 | | |", "C7 | C7 | F7 | F7 | F7", { told: ["lasts on"] }),
  // Repeats and counts.
  c("|: C | F :| G", "C | F | C | F | G"),
  c("||: C | F :|| G", "C | F | C | F | G"),
  c("C | F :| G", "C | F | C | F | G", { told: ["without its beginning"] }),
  c("|: C :|: F :|", "C | C | F | F"),
  c("|: C | F :|x2 G", "C | F | C | F | G", { told: ["2 times in all"] }),
  c("|: C | F :| x3", "C | F | C | F | C | F"),
  c("|: C | F :|*3 G", "C | F | C | F | C | F | G"),
  c("|: C | F :| (3x) G", "C | F | C | F | C | F | G"),
  c("|: C | F :| 3x", "C | F | C | F | C | F"),
  c("|: C | F :|×4", "C | F | C | F | C | F | C | F"),
  c("|: C | F :| [x3] G", "C | F | C | F | C | F | G"),
  // Endings.
  c("|: C | Am7 | [1] Dm7 | G7 :| [2] Dm7 G7 | C |", "C | Am7 | Dm7 | G7 | C | Am7 | Dm7 G7@3 | C"),
  c("|: C | [1.] F :| [2.] G", "C | F | C | G"),
  c("|: C |1. F :|2. G |", "C | F | C | G"),
  c("|: C |1 F :|2 G |", "C | F | C | G"),
  c("|: C | 1. F :| 2. G ||", "C | F | C | G"),
  c("|: C [1 F :| [2 G |]", "C | F | C | G"),
  c("|: C | 1st ending F :| 2nd ending G", "C | F | C | G"),
  c("|: C | (1.) F :| (2.) G", "C | F | C | G"),
  c("|: C | [1,2] F :| [3] G", "C | F | C | F | C | G"),
  c("|: C | [1-3] F :|[4.] G", "C | F | C | F | C | F | C | G"),
  c("|: C [1] F :| [2] G :| [3] Am", "C | F | C | G | C | Am"),
  c("C | D |1. E :|2. F", "C | D | E | C | D | F", { told: ["without its beginning"] }),
  c("|: C | D [1] E :| F | G", "C | D | E | C | D | F | G", { told: ["no second ending"] }),
  // Sections.
  c("[A] C | F | [B] G | C", "[A] C | F | [B] G | C"),
  c("A: C | F |\nB: G | C", "[A] C | F | [B] G | C"),
  c("A1: C | F | A2: G | C", "[A1] C | F | [A2] G | C"),
  c("A) C | F |\nB) G | C", "[A] C | F | [B] G | C"),
  c("(A1)\n| C | F |\n(A2)\n| C | G |", "[A1] C | F | [A2] C | G", { told: ["name of a section"] }),
  c("A\n| C | F |\nB\n| G | C |", "[A] C | F | [B] G | C", { told: ["name of a section"] }),
  c("A | C | F |\nB | G | C |", "[A] C | F | [B] G | C", { told: ["name of a section"] }),
  c("Intro\nC | F |\nBridge\nG | C |", "[Intro] C | F | [Bridge] G | C"),
  c("Verse 1: C | F |\nChorus: G | C |", "[Verse 1] C | F | [Chorus] G | C"),
  c("[Bridge] E7 | A7 | D7 | G7", "[Bridge] E7 | A7 | D7 | G7"),
  // The road map.
  c("C | F Fine | G7 | C D.C. al Fine", "C | F | G7 | C | C | F"),
  c("C | F | Fine\nG7 | C | D.C. al Fine", "C | F | G7 | C | C | F"),
  c("C | F | D.C.", "C | F | C | F"),
  c("C | Segno F | G7 D.S.", "C | F | G7 | F | G7"),
  c("C | 𝄋 F | G7 Fine | Am D.S. al Fine", "C | F | G7 | Am | F | G7"),
  c("C | F To Coda | G7 | C D.C. al Coda | Coda Am | Dm", "C | F | G7 | C | C | F | [Coda] Am | Dm"),
  c("𝄋 C | F 𝄌 | G7 | D.S. al Coda | 𝄌 Am", "C | F | G7 | C | F | [Coda] Am"),
  c("C | F To Coda ⊕ | G7 | C D.C. al Coda |\n⊕ Coda\nAm | Dm", "C | F | G7 | C | C | F | [Coda] Am | Dm"),
  c("|: C | F :| G Fine | Am | Da Capo al Fine", "C | F | C | F | G | Am | C | F | G"),
  c("|: C |1. F :|2. G Fine | Am D.C. al Fine", "C | F | C | G | Am | C | G"),
  c("C | F Fine | G | DC al fine", "C | F | G | C | F"),
  // Metres and pickups.
  c("[3/4] C | F | G", "C | F | G", { metre: "3/4" }),
  c("3/4 C F G | Am", "C F@2 G@3 | Am", { metre: "3/4" }),
  c("C | [3/4] F G Am | [4/4] C", "C | F G@2 Am@3 | C", { metre: "4/4" }),
  c("Time: 6/8\nC | F", "C | F", { metre: "6/8" }),
  c("G7*1 | C | F", "(0) G7 | C | F", { told: ["pickup"] }),
  // No chord, optional chords, holds and stops.
  c("N.C. | C7 | NC | n.c. | nc | N.C | no chord", "N.C. | C7 | N.C. | N.C. | N.C. | N.C. | N.C."),
  c("C7 N.C. | F", "C7 N.C.@3 | F"),
  c("C | Am7 (A7) | Dm7 | G7", "C | Am7 A7@3? | Dm7 | G7", { told: ["brackets"] }),
  c("Dm7 | G7 | C | (G7)", "Dm7 | G7 | C | G7?", { told: ["brackets"] }),
  c("Dm7 | G7 | C (Em7 A7) | Dm7", "Dm7 | G7 | C Em7@3? A7@4? | Dm7", { told: ["brackets"] }),
  c("C(hold) | F (stop) | G𝄐", "C!hold | F!stop | G!hold"),
  // Bass notes.
  c("C/E | F/A | Bb/D G/B", "C/E | F/A | Bb/D G/B@3"),
  c("C over E | F", "C/E | F", { told: ["C/E"] }),
  c("C\\E | F", "C/E | F"),
  // Chord symbols in many hands.
  c("C7 b9 | Eb7 (b9 #11) | F7", "C7b9 | Eb7(b9 #11) | F7", { told: ["one chord"] }),
  c("C maj7 | D min7 | G 7 sus4", "Cmaj7 | Dmin7 | G7sus4", { told: ["one chord"] }),
  c("B♭Δ⁷ | E♭m⁷♭⁵ | C♯ø | F⁷", "B♭Δ7 | E♭m7♭5 | C♯ø | F7"),
  c("D–7 | G7 | C△7", "D-7 | G7 | CΔ7"),
  c("C^7 | A-7 | D-7 | G7", "Cmaj7 | A-7 | D-7 | G7"),
  c("C°7 | C⁰⁷ | Co7 | C07", "C°7 | C°7 | Co7 | Cdim7", { told: ["Cdim7"] }),
  c("dm7 g7 | cmaj7", "Dm7 G7@3 | Cmaj7", { told: ["lower case"] }),
  c("C7(b9,13) F7 | Bb", "C7(b9,13) F7@3 | Bb"),
  c("C\u00a0\u200b|\u2009F", "C | F"),
  c("[Am7] | [D7] | G", "Am7 | D7 | G", { told: ["taken as a chord"] }),
  // Published research notation.
  c("C:maj7 | A:min7 | D:min7 | G:7", "Cmaj7 | Am7 | Dm7 | G7"),
  c("C:maj7 | D:min7/b3 | G:7(b9) | N", "Cmaj7 | Dm7/F | G7(b9) | N.C."),
  c(
    "C:maj C:min C:dim C:aug C:hdim7 C:minmaj7 C:maj6 C:sus4 C:9",
    "C | Cm | Cdim | Caug | Cm7b5 | CmMaj7 | C6 | Csus4 | C9",
  ),
  c("Bb:7(*5) | F:maj/3 | Eb:maj/5", "Bb7(no5) | F/A | Eb/Bb"),
  c("A1: ||Bbj7 G-7 |C-7 F7 |Dm7b5 G79b |C-7 F7 ||", "[A1] Bbmaj7 G-7@3 | C-7 F7@3 | Dm7b5 G7(b9)@3 | C-7 F7@3"),
  c("C711# | F7913 | Bbsus79 | C-69 | F79b13b | Ebj7911#", "C7(#11) | F13 | Bb9sus4 | C-69 | F7(b9,b13) | Ebmaj9(#11)"),
  // Roman numerals.
  c("ii V I", "Dm7 | G7 | Cmaj7"),
  c("ii-V-I", "Dm7 | G7 | Cmaj7"),
  c("ii–V–I", "Gm7 | C7 | Fmaj7", { options: { key: "F" } }),
  c("I6/4 | ii65 | V4/2 | N6", "C/G | Dm7/F | G7/F | Db/F"),
  c("ii65 | V42 | I6", "Dm7/F | G7/F | C6", { told: ["I6 taken as a chord with a sixth; I63 is the triad"] }),
  c("I | V7/V/V | V/V | V7 | I", "Cmaj7 | A7 | D7 | G7 | Cmaj7"),
  c("I | [ii V]/IV | IV", "Cmaj7 | Gm7 C7@3 | Fmaj7"),
  c("C: I vi ii V | G: ii V I", "Cmaj7 Am7@2 Dm7@3 G7@4 | Am7 D7@3 Gmaj7@4"),
  c("I | [key: Eb] ii V | I", "Cmaj7 | Fm7 Bb7@3 | Ebmaj7"),
  c("Eb: ii | V | I", "Fm7 | Bb7 | Ebmaj7", { key: "Eb major" }),
  c("i | bVI | iiø | V7b9", "Cm6 | Abmaj7 | Dø | G7b9", { key: "C minor" }),
  c("i | vi | #viø | bVII | #viio7", "Am6 | F#m7b5 | F#ø | G7 | G#o7", { options: { key: "A minor" } }),
  c("Ger65 | I64 | V7 | I", "Ab7 | C/G | G7 | Cmaj7"),
  // Headings.
  c("Title: My tune\nKey: Eb\nTempo: 140\nFeel: swing\n\nEbmaj7 | Cm7 | Fm7 | Bb7", "Ebmaj7 | Cm7 | Fm7 | Bb7", {
    key: "Eb major",
  }),
  c("My own tune\nDm7 | G7 | C | C", "Dm7 | G7 | C | C", { told: ["title"] }),
  c("{title: Mine}\n{key: F}\nGm7 | C7 | F", "Gm7 | C7 | F", { key: "F major" }),
  c("C | Am |\nHello darling sing with me tonight\nF | G |", "C | Am | F | G", { told: ["words"] }),

  // Pages round a chart: e-mails, tables, lists, marked-up text.
  c("> Dm7 | G7 | Cmaj7 | %\n> Fm7 | Bb7 | Ebmaj7 | %", "Dm7 | G7 | Cmaj7 | Cmaj7 | Fm7 | Bb7 | Ebmaj7 | Ebmaj7", {
    told: ["quotation"],
  }),
  c("Hi Anna,\nhere are the changes:\n\nDm7 | G7 | Cmaj7 | A7 |\n\nSee you on Friday", "Dm7 | G7 | Cmaj7 | A7", {
    told: ["a line of words left out"],
  }),
  c(
    "| Dm7 | G7 | C6 | A7 |\n|-----|----|----|----|\n| Dm7 | G7 | C6 | % |",
    "Dm7 | G7 | C6 | A7 | Dm7 | G7 | C6 | C6",
    {
      told: ["rule between lines"],
    },
  ),
  c("| 1 | 2 | 3 | 4 |\n|:---|:---:|---:|---|\n| Dm7 | G7 | C | C |", "Dm7 | G7 | C | C", { told: ["bar numbers"] }),
  c("+-----+-----+\n| Dm7 | G7  |\n+-----+-----+\n| C   | A7  |\n+-----+-----+", "Dm7 | G7 | C | A7"),
  c("Dm7\tG7\tCmaj7\tA7\nDm7\tG7\tCmaj7\t%", "Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | Cmaj7 | Cmaj7"),
  c('"Dm7","G7","Cmaj7","A7"', "Dm7 | G7 | Cmaj7 | A7"),
  c("```\nDm7 | G7 | C |\n```", "Dm7 | G7 | C", { told: ["fence"] }),
  c(
    "# My tune\n\n**A**\nDm7 | G7 | C | C |\n\n**B**\nFm7 | Bb7 | C | C |",
    "[A] Dm7 | G7 | C | C | [B] Fm7 | Bb7 | C | C",
  ),
  c("- Dm7 | G7 |\n- C | A7 |", "Dm7 | G7 | C | A7", { told: ["bullet"] }),
  c("• Dm7 | G7 |\n• C | A7 |", "Dm7 | G7 | C | A7", { told: ["bullet"] }),
  c("1. Dm7\n2. G7\n3. Cmaj7\n4. A7", "Dm7 | G7 | Cmaj7 | A7", { told: ["bar number"] }),
  c("1) Dm7\n2) G7\n3) C", "Dm7 | G7 | C", { told: ["bar number"] }),
  c("1. Dm7 | G7 | C | C |\n5. Fm7 | Bb7 | Eb | Eb |", "Dm7 | G7 | C | C | Fm7 | Bb7 | Eb | Eb", {
    told: ["bar number"],
  }),
  c(
    "1  |: Dm7 | G7 | C | C |\n5  | Fm7 | Bb7 | Eb | A7 :|",
    "Dm7 | G7 | C | C | Fm7 | Bb7 | Eb | A7 | Dm7 | G7 | C | C | Fm7 | Bb7 | Eb | A7",
  ),
  c("Bar 1: Dm7\nBar 2: G7\nBar 3: C", "Dm7 | G7 | C", { told: ["bar number"] }),
  c("1 Dm7 | 2 G7 | 3 C | 4 A7", "Dm7 | G7 | C | A7", { told: ["bar number"] }),
  c("|: Dm7 | G7 |\n1. C | A7 :|\n2. C | C |", "Dm7 | G7 | C | A7 | Dm7 | G7 | C | C"),
  c("[Am]Hello [G]darling, [F]sing for [E7]me", "Am | G | F | E7", { told: ["words between chords"] }),
  c("[Am] [G] [F] [E7]", "Am | G | F | E7", { told: ["[G] taken as a chord"] }),
  c("Am        G\nHello my darling\nF         C\nsing for me now", "Am | G | F | C", { told: ["words left out"] }),
  c('Dm7 | " | G7 | "', "Dm7 | Dm7 | G7 | G7", { told: ["ditto"] }),
  // What stands above.
  c("(key of F minor)\nFm | Bbm | C7 | Fm |", "Fm | Bbm | C7 | Fm", { key: "F minor" }),
  c("My song (key of F minor)\nFm | Bbm | C7 | Fm |", "Fm | Bbm | C7 | Fm", {
    key: "F minor",
    told: ["key taken from"],
  }),
  c("in Bb:\nCm7 F7 | Bb | Gm7 | Gm7 |", "Cm7 F7@3 | Bb | Gm7 | Gm7", { key: "Bb major" }),
  c("Key of Eb\nFm7 | Bb7 | Eb | Eb |", "Fm7 | Bb7 | Eb | Eb", { key: "Eb major" }),
  c("Bb minor\nBbm | Ebm | F7 | Bbm |", "Bbm | Ebm | F7 | Bbm", { key: "Bb minor" }),
  c("A flat major\nAb | Bbm7 | Eb7 | Ab |", "Ab | Bbm7 | Eb7 | Ab", { key: "Ab major" }),
  c("Swing, ♩=140\nDm7 | G7 | C | C |", "Dm7 | G7 | C | C", { told: ["feel, tempo"] }),
  c("Medium swing (q = 120)\nDm7 | G7 | C | C |", "Dm7 | G7 | C | C", { told: ["feel, tempo"] }),
  c("Waltz (3/4)\nDm7 | G7 F | C |", "Dm7 | G7 F@3 | C", { metre: "3/4" }),
  c("Form: AABA\nA: C | Am |\nB: E7 | A7 |", "[A] C | Am | C | Am | [B] E7 | A7 | [A] C | Am", {
    told: ["order of the form"],
  }),
  // Counts of sections and of repeats.
  c("Verse 1:\nC | Am | F | G |\n\nChorus x2:\nF | G |", "[Verse 1] C | Am | F | G | [Chorus] F | G | F | G"),
  c("[A] x2 Dm7 | G7 | [B] C | C |", "[A] Dm7 | G7 | Dm7 | G7 | [B] C | C", { told: ["beside a section"] }),
  c("3x |: Dm7 | G7 :| C", "Dm7 | G7 | Dm7 | G7 | Dm7 | G7 | C"),
  c("|: Dm7 | G7 :| play 3x | C |", "Dm7 | G7 | Dm7 | G7 | Dm7 | G7 | C"),
  c("||: Dm7 | G7 :|| x3 Cmaj7 ||", "Dm7 | G7 | Dm7 | G7 | Dm7 | G7 | Cmaj7"),
  c("|: Dm7 | G7 :| (3 times) | Cmaj7 |", "Dm7 | G7 | Dm7 | G7 | Dm7 | G7 | Cmaj7"),
  // Signs in other hands.
  c("Bb-7b5 | Eb7 | Ab-", "Bb-7b5 | Eb7 | Ab-"),
  c("E-7(b5) | A7(b9) | D-", "E-7(b5) | A7(b9) | D-", { key: "D minor" }),
  c("D♭△9 | G♭△ | A♭7 | D♭△", "D♭Δ9 | G♭Δ | A♭7 | D♭Δ", { key: "Db major" }),
  c("C6/9 | C69 | C6add9 | C6(9)", "C6/9 | C69 | C6add9 | C6(9)"),
  c("Cm7 F7(13) (b9) | Bb", "Cm7 F7(13)(b9)@3 | Bb"),
  c("N.C. (4 bars) | C7 (2 bars) | F", "N.C. | N.C. | N.C. | N.C. | C7 | C7 | F"),
  c("|| Dm7 | G7 || C | A7 ||", "Dm7 | G7 | C | A7"),
  c("Dm7 | G7 |C|\n\n[Bridge]\n| E7 | A7 |", "Dm7 | G7 | C | [Bridge] E7 | A7"),
  c("Intro: N.C. | N.C. |\nA: Cm | Fm |", "[Intro] N.C. | N.C. | [A] Cm | Fm"),
  c("Cmaj7 (2 beats) Am7 (2 beats) | Dm7", "Cmaj7 Am7@3 | Dm7"),
  c("Cmaj7:2 Am7:2 | Dm7:4", "Cmaj7 Am7@3 | Dm7"),
  c("C . F . | G . . .", "C F@3 | G"),
  c("C_ _ _ | F _ G _ | C", "C | F G@3 | C"),
  c("C, Am, Dm, G |\nC, F, C, C |", "C Am@2 Dm@3 G@4 | C F@2 C@3 C@4"),
  c("I - vi - ii - V", "Cmaj7 | Am7 | Dm7 | G7"),
  c("Imaj7 / vi7 / | ii7 / V7 /", "Cmaj7 Am7@3 | Dm7 G7@3"),
  c("C major\nA minor\nD minor\nG major", "Cmajor | Aminor | Dminor | Gmajor", { told: ["one chord a bar"] }),
  c("12 Bar Blues in F\nF7 | Bb7 | F7 | F7 |", "F7 | Bb7 | F7 | F7", { key: "F major", told: ["key taken from"] }),
  c("6/8 time\nC | F |", "C | F", { metre: "6/8" }),
  c("Key: F   Time: 3/4\nGm7 | C7 | F |", "Gm7 | C7 | F", { key: "F major", metre: "3/4" }),
  c("A section: Dm7 | G7 |\nB section: C | F |", "[A] Dm7 | G7 | [B] C | F"),
  c("Dm7 (ii) | G7 (V) | C (I)", "Dm7 | G7 | C", { told: ["numeral in brackets"] }),
  c("A (8 bars)\nDm7 | G7 | C | C |\nB (4 bars)\nF | C |", "[A] Dm7 | G7 | C | C | [B] F | C", {
    told: ["name of a section"],
  }),
  c("ii V7 | Imaj7 in F", "Gm7 C7@3 | Fmaj7", { key: "F major", told: ["behind the chords"] }),
  c("iiø V7 i in C minor", "Dø | G7 | Cm6", { key: "C minor" }),
  c("F major: ii V | I", "Gm7 C7@3 | Fmaj7", { key: "F major" }),
  c("|:C|D|1.E|F:|2.G|A||", "C | D | E | F | C | D | G | A"),
  c("|: C | D |[1.E | F :|[2.G | A |", "C | D | E | F | C | D | G | A"),
];

/** Charts that can't be told: where, and the nearest valid writing or both readings. */
export const REFUSED: readonly (readonly [text: string, code: string, place: string, says: string])[] = [
  ["Dm7 | G7 | H7", "chord/root", "line 1, column 12", "the English name of H is B"],
  ["Dm7 | G7 |\nCmaj8", "chord/symbol", "line 2, column 1", '"8"'],
  ["c7 f7 c7", "chord/root", "line 1, column 1", "write C7, or Cm7 if it is minor"],
  ["I | V7/7", "progression/numeral", "line 1, column 5", "write V7/vii"],
  ["I | IV/V", "progression/numeral", "line 1, column 5", "IV@5"],
  ["I | V6", "progression/numeral", "line 1, column 5", "V63"],
  ["A: ii V I", "progression/chart", "line 1, column 1", "write [A] for a section, [key: A] for a key"],
  ["C / E | F", "progression/beats", "line 1, column 1", "write C/E for a bass note"],
  ["C | Dm7*5 | F", "progression/beats", "line 1, column 5", "4 in all"],
  ["|: C | F", "progression/chart", "line 1, column 9", ":|"],
  ["C | F :|x99", "progression/chart", "line 1, column 7", "2 to 16"],
  ["C | F :|3 G", "progression/chart", "line 1, column 9", "write :|x3"],
  ["C | D.C. al Fine", "progression/chart", "line 1, column 1", "Fine"],
  ["C | F D.S.", "progression/chart", "line 1, column 5", "Segno"],
  ["C | F D.C. al Coda", "progression/chart", "line 1, column 5", "coda"],
  ["% | C", "progression/chart", "line 1, column 1", "before the first %"],
  ["C % | D", "progression/chart", "line 1, column 3", "alone in its bar"],
  ["/ / C / | F", "progression/chart", "line 1, column 1", "N.C."],
  ["C | F) | G", "progression/chart", "line 1, column 6", "opening"],
  ["C | (F | G", "progression/chart", "line 1, column 11", "closing"],
  ["Form: AABA\nA: C | F", "progression/chart", "line 1, column 1", "written out"],
  ["Key: H\nC | F", "pitch/key", "line 1, column 1", "a key"],
  ["C | [5/3] F", "time/metre", "line 1, column 5", "time signature"],
  ["C^7maj | F", "chord/symbol", "line 1, column 1", "a degree"],
  ["C | Am | B | H7", "chord/root", "line 1, column 14", "write B7; B is then Bb to some"],
  ["B7 | Es7 | As | B", "chord/root", "line 1, column 6", "write Eb7"],
  ["Dm | Fism7 | C", "chord/root", "line 1, column 6", "write F#m7"],
  ["Dm7/G7 | C", "chord/bass", "line 1, column 1", "write Dm7 G7 for two chords"],
  ["Dm7 | x | G7", "progression/chart", "line 1, column 7", "write % for the bar before"],
  ["Dm7 G7 | C A7 | 2x", "progression/chart", "line 1, column 15", "write |: and :|x2"],
  ["[Dm7 | G7] 2x", "progression/chart", "line 1, column 1", "write |: and :|"],
  ["Intro: Cm7 | F7 (4x)", "progression/chart", "line 1, column 17", "write |: and :|x4"],
  ["[F] [G] | C", "progression/chart", "line 1, column 5", "write F without brackets"],
  ["C | F | Hello", "chord/root", "line 1, column 9", "a letter A to G"],
  [
    "C: 1 4 5",
    "chord/root",
    "line 1, column 4",
    "write I for a major or dominant chord on degree 1, i for a minor one",
  ],
  ["Em7b5/A7 | Dm", "chord/bass", "line 1, column 1", "write Em7b5 A7 for two chords"],
  ["(4 bars) C | F", "progression/chart", "line 1, column 1", "one chord alone"],
];

/** Bars as played, in the writing of the table. */
export const played = (text: string, options = {}): string => {
  let section: string | undefined;
  return chartBars(parseChart(text, options))
    .map((bar) => {
      const name = bar.section === section ? "" : `[${bar.section}] `;
      section = bar.section;
      const chords = bar.chords.map(
        ({ symbol, beat, optional, mark }, i) =>
          `${symbol}${i === 0 && beat === "1" ? "" : `@${beat}`}${optional === true ? "?" : ""}${mark === undefined ? "" : `!${mark}`}`,
      );
      return `${name}${bar.bar === 0 ? "(0) " : ""}${chords.join(" ")}`;
    })
    .join(" | ");
};
