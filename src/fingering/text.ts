import type { NoteEvent } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import type { Pitch } from "../pitch/index.ts";
import { parsePitch } from "../pitch/index.ts";
import { beats } from "../time/index.ts";

const LONGEST_HOLD = 64;

/** Whether a text holds chords or held notes. */
export const isHandText = (text: unknown): text is string => typeof text === "string" && /[+~]/.test(text);

/**
 * Notes as they are typed: `C4+E4+G4` are struck together, `C4~2` is held on under the next two; a hold at the end of a chord is that of all its notes,
 * `C4~2+G4` that of one. Each thing that is struck is a quarter note after the one before.
 */
export const eventsOfText = (text: string): readonly NoteEvent[] => {
  const tokens = text.trim().split(/[\s,]+/);
  const events: NoteEvent[] = [];
  tokens.forEach((token, at) => {
    const parts = token.split("+").map((part) => noteOf(part, text));
    const last = parts.at(-1)?.hold ?? 0;
    const whole = parts.slice(0, -1).every(({ hold }) => hold === undefined);
    const byHold = new Map<number, Pitch[]>();
    for (const { pitch, hold } of parts) {
      const held = whole ? last : (hold ?? 0);
      byHold.set(held, [...(byHold.get(held) ?? []), pitch]);
    }
    for (const [hold, pitches] of byHold) {
      const rising = [...pitches].sort((a, b) => a.semitones - b.semitones);
      events.push({ at: beats(at), duration: beats(hold + 1), pitches: rising });
    }
  });
  return events;
};

const noteOf = (part: string, text: string): { readonly pitch: Pitch; readonly hold: number | undefined } => {
  const match = /^([^~]+)(?:~(\d{1,2}))?$/.exec(part);
  const hold = match?.[2] === undefined ? undefined : Number(match[2]);
  if (match?.[1] === undefined || (hold !== undefined && (hold < 1 || hold > LONGEST_HOLD))) {
    throw new MusicError({
      code: "fingering/notes",
      input: text,
      expected: `notes such as "C4 D4", chords such as "C4+E4", and "C4~2" for a note that is held under the next two (1 to ${LONGEST_HOLD})`,
    });
  }
  return { pitch: parsePitch(match[1]), hold };
};
