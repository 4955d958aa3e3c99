import { makeDrill, pitchName, scale, scalePitches, voiceProgression, writeMidi, writeMusicXml } from "../all.ts";

/** What a program of a user computes, from voicings to bytes, as one text: the same in every place where it runs. */
export const answer = (): string => {
  const { score } = makeDrill({ key: "Eb", left: "shell", right: "up-and-down", values: "triplets", tempo: 110 });
  const smooth = voiceProgression(["Dm9", "G13", "Cmaj9"], { style: "rootless" });
  return JSON.stringify({
    voicings: smooth.voicings.map((voicing) => voicing.pitches.map(pitchName)),
    scale: scalePitches(scale("C", "major blues")).map(pitchName),
    musicxml: writeMusicXml(score),
    midi: [...writeMidi(score)],
  });
};
