import { REASONS as PITCH } from "./reasons/pitch.ts";
import { REASONS as TIME } from "./reasons/time.ts";
import { REASONS as SWING } from "./reasons/swing.ts";
import { REASONS as CHORD } from "./reasons/chord.ts";
import { REASONS as ASSESS } from "./reasons/assess.ts";
import { REASONS as VOICING } from "./reasons/voicing.ts";
import { REASONS as VOICE_LEADING } from "./reasons/voice-leading.ts";
import { REASONS as FINGERING } from "./reasons/fingering.ts";
import { REASONS as LINE } from "./reasons/line.ts";

/** Why a mutant may live: it changes nothing that can be seen, or nothing worth a test. */
export interface Reason {
  readonly file: string;
  /** Part of the source line that was changed. */
  readonly line: string;
  /** Part of the change, as the run prints it; any change of the line where it is left out. */
  readonly change?: string;
  readonly why: string;
}

export const REASONS: readonly Reason[] = [...PITCH, ...TIME, ...SWING, ...CHORD, ...ASSESS, ...VOICING, ...VOICE_LEADING, ...FINGERING, ...LINE];
