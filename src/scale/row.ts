import { shapeOf } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";
import { degreeInterval } from "../pitch/index.ts";
import { isDegree } from "../pitch/inner.ts";
import type { ScaleRow } from "./catalogue.ts";
import { scaleCatalogue } from "./catalogue.ts";

const isText = (value: unknown, most: number): boolean =>
  typeof value === "string" && value.length > 0 && value.length <= most;

/** Whether a value is a row of a scale: degrees that rise from 1 and stay within the octave. */
export const isScaleRow = (value: unknown): value is ScaleRow => {
  const { id, title, aliases, degrees, source }: Partial<ScaleRow> = Object(value);
  if (
    !isText(id, 60) ||
    !/^[a-z0-9]+([ -][a-z0-9]+)*$/.test(String(id)) ||
    !isText(title, 200) ||
    !isText(source, 1000)
  )
    return false;
  if (aliases !== undefined && !(Array.isArray(aliases) && aliases.length <= 20 && aliases.every((a) => isText(a, 60))))
    return false;
  if (!Array.isArray(degrees) || degrees[0] !== "1" || degrees.length > 12 || !degrees.every(isDegree)) return false;
  const heights = degrees.map((degree) => degreeInterval(degree).semitones);
  return heights.every((height, i) => height < 12 && (i === 0 || height > Number(heights[i - 1])));
};

const ROW = "a row with id, title, source and degrees that rise from 1 within the octave";

/** A row as a part of documents. */
export const scaleRowSchema = /* @__PURE__ */ shapeOf(isScaleRow, ROW);

// The schemas' own door would carry their library into every page that spells a scale.
/** The row that is meant: one of the catalogue by its id, or the user's own. @throws MusicError `scale/type` */
export const scaleRow = (given: string | ScaleRow): ScaleRow => {
  if (typeof given !== "string") {
    if (isScaleRow(given)) return given;
    throw new MusicError({
      code: "scale/type",
      input: given,
      expected: `a scale of the catalogue by its name, or ${ROW}`,
    });
  }
  const ids = scaleCatalogue.map((row): string => row.id);
  const found = scaleCatalogue.find((row) => row.id === given);
  if (found !== undefined) return found;
  const near = nearestName(given, ids);
  throw new MusicError({
    code: "scale/type",
    input: given,
    expected: `a scale of the catalogue: ${ids.join(", ")}; or a row`,
    hint: near === undefined ? "parseScale reads other names" : `did you mean ${near}?`,
  });
};
