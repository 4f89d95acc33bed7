/** Data whose code says which kind it is. */
interface Coded {
  readonly code: string;
}

/** The members of a union with a code. */
type OfCode<T extends Coded, C> = T extends Coded ? (C extends T["code"] ? T : never) : never;

/** The words for every code of a union: the compiler finds a missing one. */
export type Wording<T extends Coded> = {
  readonly [C in T["code"]]: (one: OfCode<T, C>) => string;
};

/** The words for one. */
export function putIntoWords<T extends Coded>(wording: Wording<T>, one: T): string {
  return (wording[one.code as T["code"]] as (one: T) => string)(one);
}
