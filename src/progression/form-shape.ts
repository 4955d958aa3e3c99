import { isRecord } from "../ground/check.ts";
import type { WrittenForm } from "./types.ts";

const MOST_BARS = 10_000;
const FLAGS = ["repeatStart", "segno", "toCoda", "coda", "fine"];

const isPass = (value: unknown): boolean => Number.isInteger(value) && Number(value) >= 1 && Number(value) <= 16;

const isSigns = (value: unknown): boolean =>
  isRecord(value) &&
  Object.entries(value).every(([sign, said]) => {
    if (said === undefined) return true;
    if (FLAGS.includes(sign)) return typeof said === "boolean";
    if (sign === "repeatEnd") return isPass(said) && said !== 1;
    if (sign === "ending") return Array.isArray(said) && said.length > 0 && said.length <= 16 && said.every(isPass);
    if (sign === "section") return typeof said === "string" && said.length <= 24;
    return sign === "jump" && typeof said === "string" && /^D\.[CS]\.( al (Fine|Coda))?$/.test(said);
  });

/** Whether a value is a form as it is written, and every bar as played one of it. */
export const isWrittenForm = (value: unknown): value is WrittenForm => {
  if (!isRecord(value)) return false;
  const { bars, order } = value;
  return (
    Array.isArray(bars) &&
    bars.length <= MOST_BARS &&
    bars.every(isSigns) &&
    Array.isArray(order) &&
    order.length <= MOST_BARS &&
    order.every((bar) => Number.isInteger(bar) && bar >= 1 && bar <= bars.length)
  );
};
