const MAKERS = Symbol("what makes the properties that are worked out later");

type Makers<Later> = { readonly [Name in keyof Later]: () => Later[Name] };

// The same functions for every object: getters of its own would give each a hidden class of its own, which costs more than a path.
const GETTERS = /* @__PURE__ */ new Map<string, PropertyDescriptor>();

const getterOf = (name: string): PropertyDescriptor => {
  const before = GETTERS.get(name);
  if (before !== undefined) return before;
  const getter: PropertyDescriptor = {
    enumerable: true,
    configurable: true,
    get(this: { [MAKERS]: { [name: string]: () => unknown } }) {
      return this[MAKERS][name]?.();
    },
  };
  GETTERS.set(name, getter);
  return getter;
};

function hasLater<T extends object, Later>(object: T, makers: Makers<Later>): asserts object is T & Readonly<Later> {
  Object.defineProperty(object, MAKERS, { value: makers });
  for (const name of Object.keys(makers)) Object.defineProperty(object, name, getterOf(name));
}

/** An object with properties that are worked out on the first asking; `makers` are asked again each time. */
export const withLater = <T extends object, Later>(object: T, makers: Makers<Later>): T & Readonly<Later> => {
  hasLater<T, Later>(object, makers);
  return object;
};

/** A function that works a thing out on the first asking, and keeps it. */
export const once = <T>(make: () => T): (() => T) => {
  let made: { readonly value: T } | undefined;
  return () => (made ??= { value: make() }).value;
};
