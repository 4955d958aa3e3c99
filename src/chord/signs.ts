/** What symbols are read from: a string, or in a test something that counts the reads. */
export type CharSource = Pick<string, "length" | "charCodeAt">;

/** Signs with what they mean, as a tree: each node is a beginning of signs, and leads on by the code of the next character. */
export interface Signs<T> {
  readonly next: Map<number, Signs<T>>;
  found?: FoundSign<T>;
}

/** A sign that was found. */
export interface FoundSign<T> {
  readonly meaning: T;
  /** Characters of the sign itself, fewer than those read where what follows decides. */
  readonly length: number;
}

/** The tree of rows: signs are parted by blanks, and a stroke stands before what must follow a sign. */
export const signsOf = <T>(rows: readonly (readonly [meaning: T, signs: string])[]): Signs<T> => {
  const root: Signs<T> = { next: new Map() };
  for (const [meaning, signs] of rows) {
    for (const sign of signs.split(" ")) {
      const [own = "", after = ""] = sign.split("|");
      let node = root;
      for (const unit of (own + after).split("")) {
        const code = unit.charCodeAt(0);
        const next: Signs<T> = node.next.get(code) ?? { next: new Map() };
        node.next.set(code, next);
        node = next;
      }
      node.found = { meaning, length: own.length };
    }
  }
  return root;
};

/** The longest sign that starts at an index; `undefined` where none does. */
export const longestSign = <T>(signs: Signs<T>, text: CharSource, from: number): FoundSign<T> | undefined => {
  let node: Signs<T> | undefined = signs;
  let found: FoundSign<T> | undefined;
  for (let at = from; at < text.length; at++) {
    node = node.next.get(text.charCodeAt(at));
    if (node === undefined) break;
    found = node.found ?? found;
  }
  return found;
};
