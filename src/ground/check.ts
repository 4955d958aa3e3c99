import * as v from "valibot";
import type { MusicErrorCode } from "./errors.ts";
import { MusicError } from "./errors.ts";
import { nearestName } from "./text.ts";

/** What a value must be, as valibot reads it. Its output is not used: what is checked stays the caller's own value. */
export type Shape<T = unknown> = v.GenericSchema<T, unknown>;

/** One thing that is wrong with a value. */
export interface Fault {
  /** Where, in dots, such as `"left.0.id"`; empty for the value itself. */
  readonly path: string;
  readonly input: unknown;
  /** In words that fit after "expected". */
  readonly expected: string;
  readonly hint?: string | undefined;
}

/**
 * A shape by a test of one's own, for values that are checked so often that a walk over their fields would be felt.
 *
 * @param expected - what passes, in words that fit after "expected"
 */
export const shapeOf = <T>(test: (value: unknown) => value is T, expected: string): v.CustomSchema<T, string> =>
  v.custom<T, string>(test, expected);

/** Whether a value is an object with fields: no list and not null. */
export const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

/**
 * The boundary for small values that are asked for often, and for folders that a schema would make twice as large: a test, and no walk.
 *
 * @param expected - what passes, in words that fit after "expected"
 * @throws MusicError with the code
 */
export function need<T>(
  test: (value: unknown) => value is T,
  value: unknown,
  code: MusicErrorCode,
  expected: string,
): asserts value is T {
  if (!test(value)) throw new MusicError({ code, input: value, expected });
}

/** A test for each field of options, and what passes it in words. */
export type OptionTests = Readonly<Record<string, readonly [test: (value: unknown) => boolean, expected: string]>>;

/**
 * Options by a test a field: as {@link need}, for few and plain ones. A field may be `undefined`; one that is not in the list is refused.
 *
 * @throws MusicError with the code
 */
export const needOptions = (options: unknown, tests: OptionTests, code: MusicErrorCode): void => {
  if (!isRecord(options)) throw new MusicError({ code, input: options, expected: "options as an object" });
  const names = Object.keys(tests);
  for (const [name, value] of Object.entries(options)) {
    const [test, expected] = Object.hasOwn(tests, name) ? (tests[name] ?? []) : [];
    if (test !== undefined && (value === undefined || test(value))) continue;
    const near = test ? undefined : nearestName(name, names);
    throw new MusicError({
      code,
      input: test ? value : name,
      expected: test ? `${expected} as ${name}` : `one of the options ${names.join(", ")}`,
      hint: near && `did you mean ${near}?`,
    });
  }
};

/**
 * The one boundary: refuses an argument that is not of its shape, and leaves it as it is.
 *
 * @throws MusicError with the code for the first thing that is wrong, with its path
 */
export function check<T>(shape: Shape<T>, value: unknown, code: MusicErrorCode): asserts value is T {
  const result = v.safeParse(shape, value, { abortEarly: true });
  if (!result.success) throw refusal(code, value, faultsOf(result.issues));
}

const known = /* @__PURE__ */ new WeakMap<object, WeakSet<object>>();

/**
 * As {@link check}, once an object: for large values that go from function to function. Values are readonly, so what was right stays so.
 */
export function checkOnce<T extends object>(shape: Shape<T>, value: unknown, code: MusicErrorCode): asserts value is T {
  let right = known.get(shape);
  if (right === undefined) known.set(shape, (right = new WeakSet()));
  if (typeof value === "object" && value !== null && right.has(value)) return;
  check(shape, value, code);
  right.add(value);
}

/** The error for all that is wrong with a value. */
export const refusal = (code: MusicErrorCode, value: unknown, faults: readonly Fault[]): MusicError => {
  const [first, ...rest] = faults as readonly [Fault, ...Fault[]];
  const told = [first, ...rest].map(({ path, expected }) => (path === "" ? expected : `${expected} at ${path}`));
  const hint = faults.map((fault) => fault.hint).find((words) => words !== undefined);
  return new MusicError({
    code,
    input: rest.length === 0 ? first.input : value,
    expected: told.join("; "),
    ...(hint !== undefined && { hint }),
  });
};

/** What valibot found, in the words of a refusal. */
export const faultsOf = (issues: readonly v.BaseIssue<unknown>[]): readonly Fault[] =>
  issues.flatMap((outer) => innermost(outer).map((issue) => faultOf(outer, issue)));

const faultOf = (outer: v.BaseIssue<unknown>, issue: v.BaseIssue<unknown>): Fault => {
  const path = [outer, ...(issue === outer ? [] : [issue])]
    .map((part) => v.getDotPath(part))
    .filter((part) => part !== null)
    .join(".");
  const unknown = issue.type === "strict_object" && issue.expected === "never";
  const near = unknown ? undefined : hintFor(issue);
  return {
    path,
    input: unknown ? path : issue.input,
    expected: unknown ? "no such field" : expectedBy(issue),
    ...(near !== undefined && { hint: `did you mean ${near}?` }),
  };
};

// Of a choice such as "all or a list", the alternative that fits as a whole and fails within tells more than the choice.
const innermost = (issue: v.BaseIssue<unknown>): readonly v.BaseIssue<unknown>[] => {
  const inner = issue.issues?.filter((one) => one.kind === "validation" || one.path !== undefined) ?? [];
  return inner.length === 0 ? [issue] : inner.flatMap(innermost);
};

const expectedBy = ({ type, message, expected, requirement, input }: v.BaseIssue<unknown>): string => {
  const some = `${String(requirement)} ${Array.isArray(input) ? "item" : "character"}${requirement === 1 ? "" : "s"}`;
  switch (type) {
    case "custom":
    case "check":
    case "raw_check":
    case "partial_check":
    case "regex":
      return message;
    case "strict_object":
    case "loose_object":
    case "object":
      return expected?.startsWith('"') === true ? "a value" : "an object";
    case "integer":
      return "a whole number";
    case "min_value":
      return `at least ${String(requirement)}`;
    case "max_value":
      return `at most ${String(requirement)}`;
    case "min_length":
      return `at least ${some}`;
    case "max_length":
      return `at most ${some}`;
    default:
      return (expected ?? "something else")
        .replace(/[()"]/g, "")
        .replace(/ \| /g, ", ")
        .replace("Array", "a list")
        .replace("Object", "an object");
  }
};

const hintFor = (issue: v.BaseIssue<unknown>): string | undefined => {
  const choice = choiceIn(issue);
  return choice !== undefined && typeof issue.input === "string" && choice.expected !== null
    ? nearestName(issue.input, choice.expected.replace(/[()"]/g, "").split(" | "))
    : undefined;
};

// Of alternatives such as "an id, a row, or a list of them", the ids.
const choiceIn = (issue: v.BaseIssue<unknown>): v.BaseIssue<unknown> | undefined =>
  issue.type === "picklist" ? issue : issue.issues?.map(choiceIn).find((found) => found !== undefined);
