import { MusicError } from "../ground/errors.ts";

/** Turns MusicXML into pictures, one SVG a system; `width` is that of a system where a staff is 72 high. */
export type Engraver = (musicXml: string, paper?: { readonly width: number }) => readonly string[];

// A page no higher than one system: what does not fit beside the first system of a page opens the next page. The seed makes ids repeat. Chord symbols
// have their distance, since verovio lifts a low one to the height of the others when the tempo beside it has its place already.
const OPTIONS = {
  pageWidth: 2100,
  pageHeight: 100,
  pageMarginTop: 6,
  pageMarginBottom: 6,
  pageMarginLeft: 30,
  pageMarginRight: 0,
  scale: 40,
  adjustPageHeight: true,
  footer: "none",
  header: "none",
  smuflTextFont: "embedded",
  svgViewBox: true,
  svgRemoveXlink: true,
  xmlIdSeed: 1,
  minLastJustification: 0,
  harmDist: 3,
  spacingStaff: 9,
};

const MARGINS = 30;

/**
 * Loads verovio, which is asked for only where a page is engraved.
 *
 * @throws MusicError `cli/verovio` when it is not installed
 */
export async function loadEngraver(): Promise<Engraver> {
  const { toolkit } = await load();
  return (musicXml, { width } = { width: OPTIONS.pageWidth - MARGINS }) => {
    toolkit.setOptions({
      ...OPTIONS,
      pageWidth: width + MARGINS,
      breaks: musicXml.includes("<print new-system") ? "encoded" : "auto",
    });
    // One page a system, so that each is a picture of its own.
    if (!toolkit.loadData(musicXml.replace(/<print new-system="yes"/g, '<print new-page="yes"')))
      throw new MusicError({
        code: "cli/verovio",
        input: "MusicXML",
        expected: "music that verovio can engrave",
        hint: toolkit.getLog(),
      });
    return Array.from({ length: toolkit.getPageCount() }, (_, i) => toolkit.renderToSVG(i + 1));
  };
}

interface Toolkit {
  setOptions(options: object): void;
  loadData(data: string): boolean;
  getLog(): string;
  getPageCount(): number;
  renderToSVG(page: number): string;
}

const load = async (): Promise<{ readonly toolkit: Toolkit }> => {
  try {
    const [{ default: createModule }, { VerovioToolkit }] = await Promise.all([
      import("verovio/wasm"),
      import("verovio/esm"),
    ]);
    return { toolkit: new VerovioToolkit(await createModule()) as Toolkit };
  } catch (error) {
    throw new MusicError({
      code: "cli/verovio",
      input: "verovio",
      expected: "the package verovio beside this one, to engrave pages",
      hint: `npm install verovio; ${error instanceof Error ? error.message : String(error)}`,
      reason: "cannot-be-done",
    });
  }
};
