import type { TripleRule } from "./rule.ts";

export const handFrame: TripleRule = {
  id: "hand-frame",
  title:
    "Over thumb and 2nd finger, one point for a 3rd finger a sixth or more from the thumb or a fourth from the 2nd, or a 4th finger nearer than that; a minor sixth with a black key in it counts as near.",
  source:
    "computed from the arpeggios of Beringer & Dunhill, A Manual of Scales, Broken Chords and Arpeggios (1900), in D. Randolph's transcription",
  reads: "triple",
  points: ({ first, middle, last, before, after }) => {
    const rising = before > 0 && after > 0;
    const falling = before < 0 && after < 0;
    if (middle.finger !== 2 || !(rising || falling)) return 0;
    const thumb = rising ? first : last;
    const outer = rising ? last : first;
    if (thumb.finger !== 1 || (outer.finger !== 3 && outer.finger !== 4)) return 0;
    const span = Math.abs(before + after);
    const step = Math.abs(rising ? after : before);
    const far = span > 8 || step > 4 || (span === 8 && !thumb.black && !outer.black);
    return far === (outer.finger === 3) ? 1 : 0;
  },
};
