import type { HandReport } from "../measure/measures.ts";
import { capital } from "./words.ts";

const late = (ms: number): string =>
  Math.abs(ms) < 0.5 ? "on time" : `${Math.round(Math.abs(ms))} ms ${ms > 0 ? "late" : "early"}`;

/** One hand's figures in a line for a student. */
export const handLine = (report: HandReport): string => {
  const { hand, right, asked, wrong, missed, extra, timing, swing } = report;
  const parts = [`${right} of ${asked} right`];
  if (wrong + missed + extra > 0) parts.push(`${wrong} wrong, ${missed} missed, ${extra} extra`);
  if (timing !== undefined)
    parts.push(
      `${late(timing.meanMs)}, spread ${Math.round(timing.spreadMs)} ms (${Math.round(timing.spreadBeats * 100)} % of a beat)`,
    );
  if (swing !== undefined)
    parts.push(`swing ${swing.measured.ratio.value.toFixed(2)}:1, asked ${Number(swing.asked.toFixed(2))}:1`);
  return `${capital(hand)} hand: ${parts.join("; ")}.`;
};
