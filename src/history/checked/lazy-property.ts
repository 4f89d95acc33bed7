/**
 * Gives an object a property that is computed at the first access and is an ordinary one from then
 * on. It is listed, spread, copied and compared like any other.
 *
 * @param make the value
 */
export function defineLazily(target: object, key: string, make: () => unknown): void {
  const settle = (value: unknown) =>
    Object.defineProperty(target, key, {
      value,
      enumerable: true,
      configurable: true,
      writable: true,
    });
  Object.defineProperty(target, key, {
    enumerable: true,
    configurable: true,
    get: () => {
      const value = make();
      settle(value);
      return value;
    },
    set: settle,
  });
}
