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
