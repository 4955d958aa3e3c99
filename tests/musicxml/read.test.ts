import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Score } from "../all.ts";
import { beats, MusicError, makeScore, metre, parseKey, pitch, readMusicXml, writeMusicXml } from "../all.ts";
import { anyScore } from "../score/arbitrary.ts";

/** What the file does not hold, left out: backing, numerals, what a part's feel does otherwise, and how a chord was spelled before. */
const printed = (score: Score) => {
  const { bass: _, drums: __, ...rest } = score;
  return {
    ...rest,
    feel: { id: score.feel.id, ratio: score.feel.ratio, unit: score.feel.unit },
    chords: score.chords.map(({ at, duration, chord }) => ({ at, duration, chord: chord?.canonical })),
  };
};

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (error instanceof MusicError) return error.code;
    throw error;
  }
  return "none";
};

const sample = writeMusicXml(
  makeScore({
    title: "Sample",
    key: parseKey("Bb"),
    metre: metre("4/4"),
    bars: 2,
    right: [{ at: beats(0), duration: beats(5), pitches: [pitch("Bb4")] }],
  }),
);
const changed = (from: string | RegExp, to: string): string => {
  const text = sample.replace(from, to);
  expect(text).not.toBe(sample);
  return text;
};

describe("reading MusicXML", () => {
  it("law: a score read back from its MusicXML is the same score, in what is printed", () => {
    fc.assert(
      fc.property(anyScore({ printed: true }), (score) => {
        expect(printed(readMusicXml(writeMusicXml(score)))).toEqual(printed(score));
      }),
      { numRuns: 60 },
    );
  });

  it("law: written, read and written again, the document is the same", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        const text = writeMusicXml(score);
        expect(writeMusicXml(readMusicXml(text))).toBe(text);
      }),
      { numRuns: 30 },
    );
  });

  it.each<[string, () => string, string]>([
    ["what is no XML", () => "hello", "musicxml/xml"],
    ["nothing", () => "", "musicxml/xml"],
    ["an open element", () => sample.slice(0, -20), "musicxml/xml"],
    ["another document", () => "<html></html>", "musicxml/root"],
    ["a timewise score", () => "<score-timewise></score-timewise>", "musicxml/root"],
    [
      "entities of its own",
      () => `<!DOCTYPE a [<!ENTITY a "b">]>${sample.slice(sample.indexOf("<score"))}`,
      "musicxml/entities",
    ],
    [
      "entities from elsewhere",
      () => `<!DOCTYPE a [<!ENTITY % x SYSTEM "file:///etc/passwd"> %x;]><score-partwise/>`,
      "musicxml/entities",
    ],
    ["endless nesting", () => "<a>".repeat(5000) + "</a>".repeat(5000), "musicxml/xml"],
    ["no part", () => changed(/<part id[\s\S]*<\/part>/, ""), "musicxml/unsupported"],
    ["two parts", () => changed("</part>", '</part><part id="P2"></part>'), "musicxml/unsupported"],
    [
      "a repeat that is played too often",
      () =>
        changed(
          "<bar-style>light-heavy</bar-style>",
          '<bar-style>light-heavy</bar-style><repeat direction="backward" times="99"/>',
        ),
      "musicxml/number",
    ],
    [
      "a change of key",
      () =>
        changed('<measure number="2">', '<measure number="2"><attributes><key><fifths>1</fifths></key></attributes>'),
      "musicxml/unsupported",
    ],
    [
      "a change of metre that its bar does not fill",
      () =>
        changed(
          '<measure number="2">',
          '<measure number="2"><attributes><time><beats>3</beats><beat-type>4</beat-type></time></attributes>',
        ),
      "musicxml/bar",
    ],
    [
      "a change of tempo",
      () => changed('<measure number="2">', '<measure number="2"><sound tempo="60"/>'),
      "musicxml/unsupported",
    ],
    ["a cue note", () => changed(/<note id="[^"]*">\s*<pitch>/, "<note><cue/><pitch>"), "musicxml/unsupported"],
    ["percussion", () => changed(/<pitch>[\s\S]*?<\/pitch>/, "<unpitched/>"), "musicxml/unsupported"],
    [
      "a bar that is not full",
      () => changed(/<measure number="2">[\s\S]*<\/measure>/, '<measure number="2"></measure>'),
      "musicxml/bar",
    ],
    [
      "a bar that is too full",
      () => changed(/<note>\s*<rest measure="yes"\/>/, "<forward><duration>1</duration></forward><note><rest/>"),
      "musicxml/bar",
    ],
    [
      "a way back before the start",
      () => changed("<backup>", "<backup><duration>99</duration></backup><backup>"),
      "musicxml/bar",
    ],
    ["a tie to nowhere", () => changed('<tie type="stop"/>', ""), "musicxml/tie"],
    ["a quarter tone", () => changed("<alter>-1</alter>", "<alter>-0.5</alter>"), "musicxml/pitch"],
    ["no such letter", () => changed("<step>B</step>", "<step>H</step>"), "pitch/name"],
    ["half a division", () => changed(/<divisions>\d+/, "<divisions>0.5"), "musicxml/number"],
    ["no divisions", () => changed(/<divisions>\d+/, "<divisions>0"), "musicxml/number"],
    ["a key of nine flats", () => changed("<fifths>-2", "<fifths>-9"), "musicxml/key"],
    ["a mode of the church", () => changed("<mode>major", "<mode>dorian"), "musicxml/key"],
    ["an odd metre", () => changed("<beats>4", "<beats>3+2"), "time/metre"],
    ["a tempo that is no number", () => changed('tempo="120"', 'tempo="fast"'), "score/tempo"],
  ])("refuses %s", (_, text, code) => {
    expect(codeOf(() => readMusicXml(text()))).toBe(code);
  });

  it("puts XML's own entities in place, and only once", () => {
    const title = (text: string): string => readMusicXml(changed(">Sample<", `>${text}<`)).title;
    expect(title("Q &amp; A &lt;1&gt; &quot;x&quot; &#9837;&#x266F;")).toBe('Q & A <1> "x" ♭♯');
    expect(title("&amp;lt;")).toBe("&lt;");
    expect(title("&unknown;")).toBe("&unknown;");
  });

  it("reads a single staff by another hand: no staves, voices or page", () => {
    const text = `<score-partwise version="3.1"><movement-title>Line</movement-title><part-list><score-part id="P1"><part-name/></score-part></part-list><part id="P1">
      <measure number="1"><attributes><divisions>2</divisions><key><fifths>-1</fifths></key><time><beats>2</beats><beat-type>4</beat-type></time></attributes>
      <note><pitch><step>F</step><octave>4</octave></pitch><duration>1</duration><type>eighth</type></note>
      <note><rest/><duration>1</duration></note>
      <note><pitch><step>A</step><octave>4</octave></pitch><duration>2</duration></note>
      <note><chord/><pitch><step>C</step><octave>5</octave></pitch><duration>2</duration></note></measure></part></score-partwise>`;
    const score = readMusicXml(text);
    expect(score).toMatchObject({
      title: "Line",
      key: parseKey("F"),
      metre: metre("2/4"),
      bars: 1,
      tempo: 120,
      left: [],
    });
    expect(score.right).toEqual([
      { at: beats(0), duration: beats("1/2"), pitches: [pitch("F4")] },
      { at: beats(1), duration: beats(1), pitches: [pitch("A4"), pitch("C5")] },
    ]);
  });

  it("law: a document with some characters changed, cut off or put in is read or refused", () => {
    const change = fc.record({
      at: fc.nat(),
      text: fc.constantFrom(
        "",
        "<",
        ">",
        "/",
        "&",
        "9",
        "-",
        "0",
        '"',
        "<note>",
        "</note>",
        "<!--",
        "]]>",
        "\u0000",
        "<chord/>",
      ),
      cut: fc.nat({ max: 20 }),
    });
    fc.assert(
      fc.property(anyScore(), fc.array(change, { minLength: 1, maxLength: 4 }), (score, changes) => {
        let text = writeMusicXml(score);
        for (const { at, text: put, cut } of changes) {
          const i = at % text.length;
          text = text.slice(0, i) + put + text.slice(i + cut);
        }
        codeOf(() => readMusicXml(text));
      }),
      { numRuns: 80 },
    );
  });

  it("law: any text is read or refused", () => {
    fc.assert(
      fc.property(
        fc.string({
          unit: fc.constantFrom(
            "<",
            ">",
            "/",
            "a",
            "score-partwise",
            "part",
            "measure",
            "note",
            " ",
            "=",
            '"',
            "&",
            ";",
            "!",
            "-",
            "[",
            "]",
            "?",
            "1",
          ),
          maxLength: 40,
        }),
        (text) => {
          expect(codeOf(() => readMusicXml(text))).toMatch(/^musicxml\//);
        },
      ),
      { numRuns: 800 },
    );
  });
});
