/** Data that says which kind it is by a code. */
interface Coded {
  readonly code: string;
}

/** Those of a union that a code stands for. */
type OfCode<T extends Coded, C> = T extends Coded ? (C extends T["code"] ? T : never) : never;

/** The words of every code of a union: the compiler finds one that is missing. */
export type Wording<T extends Coded> = {
  readonly [C in T["code"]]: (one: OfCode<T, C>) => string;
};

/** The words of one. */
export function putIntoWords<T extends Coded>(wording: Wording<T>, one: T): string {
  return (wording[one.code as T["code"]] as (one: T) => string)(one);
}
