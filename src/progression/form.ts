import type { Draft } from "./drafts.ts";
import type { Heading } from "./heading.ts";
import type { Reading } from "./reading.ts";

/** Sections written once, in the order that the heading states: "Form: AABA". */
export const inForm = (drafts: readonly Draft[], form: Heading["form"], reading: Reading): readonly Draft[] => {
  if (form === undefined) return drafts;
  const written = sectionsIn(drafts);
  const names = written.map(({ name }) => name);
  if (names.join() === form.names.join()) return drafts;
  const missing = form.names.find((name) => !names.includes(name));
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  const jumps = drafts.some(({ marks }) => marks.jump !== undefined || marks.segno === true || marks.coda === true);
  const before = written.find(({ bars }) => bars.some(({ same }, i) => same > i));
  if (missing !== undefined || twice !== undefined || jumps || before !== undefined) {
    reading.bars = 0;
    throw reading.refuse(
      "sections written out in the order in which they are played",
      form.at,
      missing === undefined ? undefined : `write [${missing}] before the first bar of that section`,
    );
  }
  reading.guess("sections written once, played in the order of the form", form.at);
  return form.names.flatMap((name) =>
    (written.find((one) => one.name === name)?.bars ?? []).map((bar) => ({ ...bar, marks: { ...bar.marks } })),
  );
};

const sectionsIn = (
  drafts: readonly Draft[],
): readonly { readonly name: string; readonly bars: readonly Draft[] }[] => {
  const sections: { name: string; bars: Draft[] }[] = [];
  for (const draft of drafts) {
    const { section } = draft.marks;
    if (section !== undefined || sections.length === 0) sections.push({ name: section ?? "", bars: [] });
    sections.at(-1)?.bars.push(draft);
  }
  return sections;
};
