/** Works a thing out once for each key, and keeps the newest few: a server that is asked for all kinds must not keep them all. */
export const memo = <T>(most: number): ((key: string, make: () => T) => T) => {
  const kept = new Map<string, T>();
  return (key, make) => {
    const known = kept.get(key);
    if (known !== undefined) return known;
    const made = make();
    if (kept.size === most) kept.delete(kept.keys().next().value as string);
    kept.set(key, made);
    return made;
  };
};

/** What a map holds for a key, made on the first asking. */
export const kept = <K, V>(
  map: { get(key: K): V | undefined; set(key: K, value: V): unknown },
  key: K,
  make: (key: K) => V,
): V => {
  const before = map.get(key);
  if (before !== undefined) return before;
  const made = make(key);
  map.set(key, made);
  return made;
};
