import { createHash } from "node:crypto";

// A name of a file may have 255 bytes on the common disks; a hash, an ending and the mark of a temporary file have to fit as well.
const MOST_BYTES = 120;

// Signs that tell names apart and that a file name or a shell doesn't take as they are.
const SIGNS: readonly (readonly [RegExp, string])[] = [
  [/\b([A-G])(bb|b)(?![\p{L}\p{N}])/gu, "$1-flat "],
  [/(?<=\b[A-G])♭/gu, "-flat "],
  [/(?<=\b[A-G])(##|#|♯)(?![\p{L}\p{N}])/gu, "-sharp "],
  [/[#♯]/gu, "-sharp-"],
  [/♭/gu, "b"],
  [/\+/gu, "-plus-"],
  [/[°º]/gu, "-dim-"],
  [/[∆△]/gu, "Δ"],
];

/** Words as the beginning of a file name: letters and figures of every script, hyphens between; E♭ minor becomes E-flat-minor. */
export const fileStem = (text: string): string => {
  const words = SIGNS.reduce((left, [sign, word]) => left.replace(sign, word), text.normalize("NFC"))
    .replace(/[^\p{L}\p{N}\p{M}]+/gu, "-")
    .replace(/^-+|-+$/g, "");
  let stem = "";
  for (const character of words) {
    if (Buffer.byteLength(stem + character) > MOST_BYTES) break;
    stem += character;
  }
  return stem.replace(/-+$/, "");
};

/** A short name for whatever tells two outputs apart: eight figures and small letters. */
export const shortHash = (...parts: readonly (string | Uint8Array)[]): string => {
  const hash = createHash("sha256");
  for (const part of parts) hash.update(part).update("\0");
  return BigInt(`0x${hash.digest("hex").slice(0, 10)}`)
    .toString(32)
    .padStart(8, "0");
};
