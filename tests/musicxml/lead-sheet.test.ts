import fc from "fast-check";
import { strToU8, zipSync } from "fflate";
import { beforeAll, describe, expect, it, vi } from "vitest";
import type { Chart } from "../../src/progression/index.ts";
import { chartBars, isMusicError, parseChart, parseChord, readLeadSheet, writeLeadSheet } from "../all.ts";
import { HANDS } from "../progression/hands.ts";

vi.setConfig({ testTimeout: 120_000 });

/** A document without what a lead sheet does not hold, its fields in order and its chords in one spelling. */
const bare = (value: unknown, name = ""): unknown =>
  Array.isArray(value)
    ? value.map((one) => bare(one))
    : typeof value === "object" && value !== null
      ? Object.fromEntries(
          Object.entries(value)
            .filter(([field, one]) => !["guesses", "numeral"].includes(field) && one !== undefined)
            .sort(([a], [b]) => (a < b ? -1 : 1))
            .map(([field, one]) => [field, bare(one, field)]),
        )
      : name === "symbol" && value !== "N.C."
        ? parseChord(String(value)).canonical
        : value;

const withMelody = (chart: Chart): Chart => ({
  ...chart,
  bars: chart.bars.map((bar, i) => ({
    ...bar,
    melody:
      i % 2 === 0
        ? [
            { at: "0", duration: "1/2", pitches: ["Eb4", "G4"] },
            { at: "1/2", duration: "1/3", pitches: ["Bb4"] },
          ]
        : [{ at: "1/2", duration: "1", pitches: ["C5"] }],
  })),
});

// In the shape that a general notation library writes.
const library = (version: string): string =>
  `<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML ${version} Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
<score-partwise version="${version}">
  <movement-title>From a library</movement-title>
  <identification><encoding><encoding-date>2026-01-01</encoding-date><software>some library</software></encoding></identification>
  <defaults><scaling><millimeters>7</millimeters><tenths>40</tenths></scaling></defaults>
  <part-list><score-part id="Pdeadbeef"><part-name/><score-instrument id="Ideadbeef"><instrument-name>Piano</instrument-name></score-instrument></score-part></part-list>
  <!--=========================== Part 1 ===========================-->
  <part id="Pdeadbeef">
    <measure implicit="no" number="1">
      <attributes><divisions>10080</divisions><key><fifths>-1</fifths><mode>major</mode></key><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef></attributes>
      <direction><direction-type><words>Medium swing</words></direction-type></direction>
      <direction placement="above"><direction-type><metronome parentheses="no"><beat-unit>quarter</beat-unit><per-minute>132</per-minute></metronome></direction-type><sound tempo="132"/></direction>
      <barline location="left"><bar-style>heavy-light</bar-style><repeat direction="forward"/></barline>
      <harmony><root><root-step>G</root-step></root><kind text="m7">minor-seventh</kind><frame><frame-strings>6</frame-strings><frame-frets>4</frame-frets><frame-note><string>6</string><fret>3</fret></frame-note></frame></harmony>
      <note><grace slash="yes"/><pitch><step>A</step><octave>4</octave></pitch><voice>1</voice><type>eighth</type></note>
      <note><pitch><step>B</step><alter>-1</alter><octave>4</octave></pitch><duration>6720</duration><voice>1</voice><type>quarter</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification><notations><tuplet bracket="yes" number="1" type="start"/></notations><lyric number="1"><syllabic>single</syllabic><text>la</text></lyric></note>
      <note><pitch><step>A</step><octave>4</octave></pitch><duration>6720</duration><voice>1</voice><type>quarter</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification></note>
      <note><pitch><step>G</step><octave>4</octave></pitch><duration>6720</duration><voice>1</voice><type>quarter</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification><notations><tuplet number="1" type="stop"/></notations></note>
      <harmony><root><root-step>C</root-step></root><kind text="7">dominant</kind><bass><bass-step>E</bass-step></bass><degree><degree-value>9</degree-value><degree-alter>-1</degree-alter><degree-type>add</degree-type></degree></harmony>
      <note><pitch><step>E</step><octave>4</octave></pitch><duration>20160</duration><tie type="start"/><voice>1</voice><type>half</type><notations><tied type="start"/></notations></note>
      <backup><duration>40320</duration></backup>
      <note><pitch><step>D</step><octave>4</octave></pitch><duration>40320</duration><voice>2</voice><type>whole</type></note>
    </measure>
    <measure implicit="no" number="2">
      <barline location="left"><ending number="1" type="start"/></barline>
      <harmony><root><root-step>F</root-step></root><kind text="maj7">major-seventh</kind></harmony>
      <note><pitch><step>E</step><octave>4</octave></pitch><duration>40320</duration><tie type="stop"/><type>whole</type><notations><tied type="stop"/></notations></note>
      <barline location="right"><bar-style>light-heavy</bar-style><ending number="1" type="stop"/><repeat direction="backward"/></barline>
    </measure>
    <measure implicit="no" number="3">
      <barline location="left"><ending number="2" type="start"/></barline>
      <harmony><root><root-step>D</root-step></root><kind text="m">minor</kind></harmony>
      <note><rest/><duration>40320</duration><type>whole</type></note>
      <direction><direction-type><words>Fine</words></direction-type><sound fine="yes"/></direction>
      <barline location="right"><ending number="2" type="stop"/></barline>
    </measure>
    <measure implicit="no" number="4">
      <harmony><root><root-step>B</root-step><root-alter>-1</root-alter></root><kind text="maj7">major-seventh</kind><degree><degree-value>11</degree-value><degree-alter>1</degree-alter><degree-type>add</degree-type></degree></harmony>
      <note><rest/><duration>30240</duration><type>half</type><dot/></note>
    </measure>
    <measure implicit="no" number="5">
      <harmony><function>V7</function><kind>dominant</kind></harmony>
      <note><rest/><duration>40320</duration><type>whole</type></note>
      <direction><direction-type><words>D.C. al Fine</words></direction-type><sound dacapo="yes"/></direction>
      <barline location="right"><bar-style>light-heavy</bar-style></barline>
    </measure>
  </part>
</score-partwise>`;

describe("lead sheets", () => {
  it.each(HANDS)("law: round trips lose nothing: $text", ({ text, options }) => {
    const chart = parseChart(text, options ?? {});
    expect(bare(readLeadSheet(writeLeadSheet(chart)))).toEqual(bare(chart));
  });

  it("law: without degrees, as engravers like it, the text says the same", () => {
    for (const { text, options } of HANDS) {
      const chart = parseChart(text, options ?? {});
      expect(bare(readLeadSheet(writeLeadSheet(chart, { degrees: false })))).toEqual(bare(chart));
    }
  });

  it("law: a melody comes back note for note, ties over the bar line joined", () => {
    for (const { text, options } of HANDS) {
      const chart = parseChart(text, options ?? {});
      if (chart.pickup !== undefined) continue;
      const sung = withMelody(chart);
      expect(bare(readLeadSheet(writeLeadSheet(sung)))).toEqual(bare(sung));
    }
    const tied = parseChart("Key: C\nC | F | G");
    const long = {
      ...tied,
      bars: tied.bars.map((bar, i) =>
        i === 0 ? { ...bar, melody: [{ at: "3", duration: "6", pitches: ["G4"] }] } : bar,
      ),
    };
    expect(readLeadSheet(writeLeadSheet(long)).bars[0]?.melody).toEqual(long.bars[0]?.melody);
  });

  it("a heading, a tempo and a feel come back", () => {
    const chart = parseChart(
      "Title: Étude & co\nHeading: for my pupils\nKey: C minor\nTempo: 90\nFeel: Swing\nMetre: 12/8\nCm7 | Fm7",
    );
    expect(readLeadSheet(writeLeadSheet(chart))).toMatchObject({
      title: "Étude & co",
      heading: "for my pupils",
      key: "C minor",
      tempo: 90,
      feel: "Swing",
      metre: "12/8",
    });
  });
});

const note = (pitch: string, duration: number, extra = ""): string =>
  `<note><pitch><step>${pitch.charAt(0)}</step>${pitch.includes("-") ? "<alter>-1</alter>" : ""}<octave>${pitch.slice(-1)}</octave></pitch><duration>${duration}</duration>${extra}<voice>1</voice><type>quarter</type></note>`;
const rest = (duration: number): string => `<note><rest/><duration>${duration}</duration></note>`;
const harmony = (root: string, kind: string, extra = ""): string =>
  `<harmony><root><root-step>${root.charAt(0)}</root-step>${root.length > 1 ? `<root-alter>${root.charAt(1) === "b" ? -1 : 1}</root-alter>` : ""}</root><kind>${kind}</kind>${extra}</harmony>`;
const sheet = (measures: string, version = "3.1"): string =>
  `<?xml version="1.0" encoding="utf-8"?><!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML ${version} Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd"><score-partwise version="${version}"><movement-title>Exported</movement-title><identification><creator type="composer">anonymous</creator></identification><part-list><score-part id="P1"><part-name>Voice</part-name></score-part></part-list><part id="P1">${measures}</part></score-partwise>`;
const opening = (fifths: number, mode = ""): string =>
  `<attributes><divisions>10080</divisions><key><fifths>${fifths}</fifths>${mode}</key><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef></attributes>`;
const Q = 10080;

// Documents as general notation libraries and programs export them: kinds without text, large divisions, a pickup as bar 0, repeats and endings on
// bar lines, an offset in the middle of a rest, ties. Source of the elements: W3C, MusicXML 3.1 (2017) and 4.0 (2021).
describe("lead sheets of other programs", () => {
  const exported = sheet(
    `<measure number="0" implicit="yes">${opening(-3)}${note("B-4", Q)}</measure>` +
      `<measure number="1"><barline location="left"><repeat direction="forward"/></barline>${harmony("E", "major-seventh").replace("</root-step>", "</root-step><root-alter>-1</root-alter>")}${note("G4", 3 * Q)}${note("B-4", Q, '<tie type="start"/>')}</measure>` +
      `<measure number="2">${harmony("C", "minor-seventh")}${note("B-4", 2 * Q, '<tie type="stop"/>')}${harmony("F", "dominant", "<degree><degree-value>9</degree-value><degree-alter>-1</degree-alter><degree-type>add</degree-type></degree>")}${note("A4", 2 * Q)}</measure>` +
      `<measure number="3"><barline location="left"><ending number="1" type="start"/></barline>${harmony("Bb", "dominant")}${rest(4 * Q)}<barline location="right"><ending number="1" type="stop"/><repeat direction="backward"/></barline></measure>` +
      `<measure number="4"><barline location="left"><ending number="2" type="start"/></barline>${harmony("E", "major-sixth", "<bass><bass-step>G</bass-step></bass>").replace("</root-step>", "</root-step><root-alter>-1</root-alter>")}${note("E-4", 4 * Q)}<barline location="right"><bar-style>light-heavy</bar-style><ending number="2" type="discontinue"/></barline></measure>`,
  );

  it("a plain export of version 3.1: pickup, repeat, endings, bass, ties, and a signature without a mode", () => {
    const chart = readLeadSheet(exported);
    expect(chart).toMatchObject({
      title: "Exported",
      heading: "anonymous",
      key: "Eb major",
      metre: "4/4",
      pickup: "1",
    });
    expect(
      chartBars(chart).map(({ chords }) => chords.map(({ symbol, beat }) => `${symbol}@${beat}`).join(" ")),
    ).toEqual(["", "Ebmaj7@1", "Cm7@1 F7(b9)@3", "Bb7@1", "Ebmaj7@1", "Cm7@1 F7(b9)@3", "Eb6/G@1"]);
    expect(chart.bars[0]?.melody).toEqual([{ at: "0", duration: "1", pitches: ["Bb4"] }]);
    // The tie over the bar line is one note of three quarters.
    expect(chart.bars[1]?.melody).toEqual([
      { at: "0", duration: "3", pitches: ["G4"] },
      { at: "3", duration: "3", pitches: ["Bb4"] },
    ]);
    expect(chart.guesses.join()).toContain("states no mode");
    expect(bare(readLeadSheet(writeLeadSheet(chart)))).toEqual(bare(chart));
  });

  // The degrees that each kind stands for: MusicXML 4.0, kind-value.
  it.each([
    ["major", "", "C"],
    ["minor", "", "Cm"],
    ["augmented", "", "C+"],
    ["diminished", "", "Cdim"],
    ["dominant", "", "C7"],
    ["major-seventh", "", "Cmaj7"],
    ["half-diminished", "", "Cm7b5"],
    ["major-minor", "", "CmMaj7"],
    ["diminished-seventh", "", "Cdim7"],
    ["augmented-seventh", "", "C7#5"],
    ["dominant-13th", "", "C13"],
    ["suspended-fourth", "", "Csus4"],
    ["suspended-fourth", "7", "C7sus4"],
    ["power", "", "C5"],
    ["dominant", "#9", "C7#9"],
    ["dominant", "b5", "C7b5"],
    ["major", "add9", "Cadd9"],
  ])("kind %s with %j is %s", (kind, degree, symbol) => {
    const [, sign, value] = /^(b|#|add)?(\d+)$/.exec(degree) ?? [];
    const type = value === "5" ? "alter" : "add";
    const alter = sign === "b" ? -1 : sign === "#" ? 1 : 0;
    const written =
      degree === ""
        ? ""
        : `<degree><degree-value>${value}</degree-value><degree-alter>${alter}</degree-alter><degree-type>${type}</degree-type></degree>`;
    const chart = readLeadSheet(
      sheet(
        `<measure number="1">${opening(0, "<mode>major</mode>")}${harmony("C", kind, written)}${rest(4 * Q)}</measure>`,
        "4.0",
      ),
    );
    expect(parseChord(chart.bars[0]?.chords[0]?.symbol ?? "").canonical).toBe(parseChord(symbol).canonical);
  });

  // In the shape in which general notation libraries write: many divisions, two voices, a tuplet, grace notes, lyrics, a frame under the symbol.

  it.each(["3.1", "4.0"])(
    "in the shape of a notation library, version %s: all is read, and nothing of it is lost on the way",
    (version) => {
      const chart = readLeadSheet(library(version));
      expect(chart).toMatchObject({
        title: "From a library",
        key: "F major",
        metre: "4/4",
        tempo: 132,
        feel: "Medium swing",
      });
      expect(
        chartBars(chart).map(
          ({ chords, metre }) => `${metre} ${chords.map(({ symbol, beat }) => `${symbol}@${beat}`).join(" ")}`,
        ),
      ).toEqual([
        "4/4 Gm7@1 C7(b9)/E@3",
        "4/4 Fmaj7@1",
        "4/4 Gm7@1 C7(b9)/E@3",
        "4/4 Dm@1",
        "3/4 Bbmaj7(#11)@1",
        "4/4 C7@1",
        "4/4 Gm7@1 C7(b9)/E@3",
        "4/4 Dm@1",
      ]);
      expect(chart.bars[0]?.melody).toEqual([
        { at: "0", duration: "2/3", pitches: ["Bb4"], graces: ["A4"] },
        { at: "2/3", duration: "2/3", pitches: ["A4"] },
        { at: "4/3", duration: "2/3", pitches: ["G4"] },
        { at: "2", duration: "6", pitches: ["E4"] },
      ]);
      expect(chart.guesses.join("; ")).toContain("only the first voice");
      expect(chart.guesses.join("; ")).toContain("lyrics are left out");
      expect(chart.guesses.join("; ")).toContain("bar 4 is short, and taken as a bar of 3/4");
      expect(bare(readLeadSheet(writeLeadSheet(chart)))).toEqual(bare(chart));
    },
  );

  it("a score by bars (timewise) is the score by parts", () => {
    const turned = library("3.1")
      .replace(/score-partwise/g, "score-timewise")
      .replace(/<part id="Pdeadbeef">|<\/part>/g, "")
      .replace(/<measure ([^>]*)>/g, '<measure $1><part id="Pdeadbeef">')
      .replace(/<\/measure>/g, "</part></measure>");
    expect(readLeadSheet(turned)).toEqual(readLeadSheet(library("3.1")));
  });

  it("a melody note is tied across a change of metre and of key", () => {
    const chart = {
      ...parseChart("Key: C\nC | [3/4] F | [key: Eb] Eb"),
      bars: parseChart("Key: C\nC | [3/4] F | [key: Eb] Eb").bars.map((bar, i) =>
        i === 0 ? { ...bar, melody: [{ at: "2", duration: "7", pitches: ["C5"] }] } : bar,
      ),
    };
    const written = writeLeadSheet(chart);
    expect(written.match(/<tie type="start"/g)).toHaveLength(2);
    expect(bare(readLeadSheet(written))).toEqual(bare(chart));
  });

  it("jumps told by sound alone, rehearsal marks, a change of metre, N.C., offsets", () => {
    const chart = readLeadSheet(
      sheet(
        `<measure number="1">${opening(0, "<mode>minor</mode>")}<direction><direction-type><rehearsal>A</rehearsal></direction-type></direction><harmony><kind text="N.C.">none</kind></harmony>${harmony("A", "minor-seventh", `<offset>${2 * Q}</offset>`)}${rest(4 * Q)}</measure>` +
          `<measure number="2"><attributes><time><beats>3</beats><beat-type>4</beat-type></time></attributes>${harmony("D", "minor")}${rest(3 * Q)}<direction><direction-type><words>Fine</words></direction-type><sound fine="yes"/></direction></measure>` +
          `<measure number="3">${harmony("E", "dominant")}${rest(3 * Q)}<direction><sound dacapo="yes"/></direction></measure>`,
        "4.0",
      ),
    );
    expect(chart.key).toBe("A minor");
    expect(chart.bars[0]).toMatchObject({ section: "A", chords: [{ symbol: "N.C.", beat: "1" }, { beat: "3" }] });
    expect(chart.bars[1]).toMatchObject({ metre: "3/4", fine: true });
    expect(chart.bars[2]?.jump).toBe("D.C. al Fine");
    expect(chartBars(chart).map(({ written }) => written)).toEqual([0, 1, 2, 0, 1]);
  });

  it("compressed: the file that the container names, whatever else is in it", () => {
    const zip = zipSync({
      "META-INF/container.xml": strToU8(
        '<container><rootfiles><rootfile full-path="music/song.xml" media-type="application/vnd.recordare.musicxml+xml"/></rootfiles></container>',
      ),
      "music/song.xml": strToU8(exported),
      "other.xml": strToU8("<nothing/>"),
    });
    expect(readLeadSheet(zip)).toEqual(readLeadSheet(exported));
    expect(readLeadSheet(strToU8(exported))).toEqual(readLeadSheet(exported));
  });

  it.each([
    ["<html/>", "musicxml/root"],
    ["no XML", "musicxml/xml"],
    [sheet(`<measure number="1">${opening(0)}${rest(4 * Q)}</measure>`), "musicxml/unsupported"],
    [sheet(`<measure number="1">${opening(0)}${harmony("C", "major")}${rest(5 * Q)}</measure>`), "musicxml/bar"],
    [sheet(`<measure number="1">${opening(0)}${harmony("C", "Tristan")}${rest(4 * Q)}</measure>`), "musicxml/harmony"],
    [sheet(`<measure number="1">${opening(9)}${harmony("C", "major")}${rest(4 * Q)}</measure>`), "musicxml/key"],
  ])("refuses %j", (text, code) => {
    try {
      readLeadSheet(text);
    } catch (error) {
      expect(isMusicError(error) && error.code).toBe(code);
      return;
    }
    throw new Error("was read");
  });

  it("law: spoilt bytes are read or refused", () => {
    const zip = zipSync({ "song.xml": strToU8(exported) });
    fc.assert(
      fc.property(fc.boolean(), fc.nat(), fc.nat(255), fc.nat(), (packed, place, byte, cut) => {
        const bytes = Uint8Array.from(packed ? zip : strToU8(exported));
        bytes[place % bytes.length] = byte;
        try {
          readLeadSheet(cut % 4 === 0 ? bytes.slice(0, cut % bytes.length) : bytes);
        } catch (error) {
          if (!isMusicError(error)) throw error;
        }
      }),
      { numRuns: 600 },
    );
  });
});

describe("lead sheets engraved", () => {
  interface Toolkit {
    setOptions(options: Readonly<Record<string, unknown>>): void;
    loadData(data: string): number;
    renderToSVG(page: number): string;
  }
  let toolkit: Toolkit;
  const complaints: string[] = [];
  beforeAll(async () => {
    // verovio ships no types.
    const load = async (name: string): Promise<Record<string, unknown>> =>
      (await import(name)) as Record<string, unknown>;
    const wasm = (await load("verovio/wasm")).default as (options: object) => Promise<unknown>;
    const Toolkit = (await load("verovio/esm")).VerovioToolkit as new (module: unknown) => Toolkit;
    for (const level of ["log", "info", "warn", "error"] as const)
      vi.spyOn(console, level).mockImplementation((line) => void complaints.push(String(line)));
    toolkit = new Toolkit(await wasm({}));
  });

  it("law: an engraver finds nothing wrong with any of them, and prints the symbols", () => {
    const sheets = ["3.1", "4.0"].map((version) => readLeadSheet(library(version)));
    for (const chart of [...HANDS.map(({ text, options }) => parseChart(text, options ?? {})), ...sheets]) {
      complaints.length = 0;
      expect(toolkit.loadData(writeLeadSheet(chart, { degrees: false }))).toBeTruthy();
      expect(toolkit.renderToSVG(1)).toContain('class="harm"');
      expect(complaints).toEqual([]);
    }
  });
});
