/** What a map holds for a key, made on the first asking. */
export const memo = <K, V>(map: Map<K, V>, key: K, make: (key: K) => V): V => {
  const before = map.get(key);
  if (before !== undefined) return before;
  const made = make(key);
  map.set(key, made);
  return made;
};
