import type { Breach, PhraseRuleRow } from "./rule.ts";
import { CORPUS } from "./rule.ts";

const NOTES = 8;
const MOST = 16;

export const speed: PhraseRuleRow = {
  id: "speed",
  title: "No eight notes in a row come faster than sixteen a second.",
  severity: "must",
  source: `${CORPUS}: the densest phrase has 14 a second`,
  check: (line) => {
    const breaches: Breach[] = [];
    for (const { notes } of line.phrases) {
      for (let i = 0; i + NOTES < notes.length; i++) {
        const [from, to] = [notes[i], notes[i + NOTES]];
        if (from === undefined || to === undefined) continue;
        const rate = NOTES / (((to.at - from.at) * 60) / line.tempo);
        if (rate <= MOST + 1e-6) continue;
        breaches.push({
          note: from,
          message: `${rate.toFixed(1)} notes a second`,
          suggestion: "leave notes out, or take a slower tempo",
        });
        break;
      }
    }
    return breaches;
  },
};
