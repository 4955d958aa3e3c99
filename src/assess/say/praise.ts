import { nth } from "../../ground/list.ts";
import type { Evidence } from "../findings/finding.ts";
import { handWords } from "../findings/finding.ts";

const NEARLY = 0.9;
const STEADY_MS = 20;

/** What went well, concretely; the first of these that is true. */
export const praise = ({ whole, hands, tempo, together, take }: Evidence): string => {
  const perfect = hands.filter((report) => report.accuracy === 1);
  if (whole.accuracy === 1) {
    const steady = hands.every(({ timing }) => timing !== undefined && timing.spreadMs <= STEADY_MS);
    return steady
      ? `Every one of the ${whole.asked} notes is right, and well in time.`
      : `Every one of the ${whole.asked} notes is right.`;
  }
  if (perfect.length > 0) return `Every note of the ${handWords(nth(perfect, 0).hand)} is right.`;
  if (whole.accuracy >= NEARLY) return `${whole.right} of ${whole.asked} notes are right.`;
  if (take.alignment.runs.length === 1 && take.alignment.runs.flatMap((run) => run.pauses).length === 0)
    return "You played it through without stopping.";
  if (tempo.sway < 0.01 && tempo.sway > 0) return "Your tempo is steady.";
  if (together !== undefined && Math.abs(together.leftAfterMs) <= STEADY_MS) return "Your hands come together well.";
  return `${whole.right} notes are in the right place already.`;
};
