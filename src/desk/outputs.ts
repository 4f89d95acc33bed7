import type { DeskPath } from "./desk-path.js";
import { normalizeName } from "./names.js";
import type { Splitter } from "./splitter.js";
import { expandStrips } from "./strips.js";

/** Most outputs of a pass that markers can distinguish. */
export const mostPassOutputs = 15;

/** What an output of the interface is connected to. */
export type DeskOutput =
  /** Patched by hand, as the sheet says. */
  | { readonly use: "hand" }
  /** Not connected. */
  | { readonly use: "none" }
  /** Permanently connected. */
  | { readonly use: "wired"; readonly path: string }
  /** Feeds several inputs at once. */
  | { readonly use: "split"; readonly paths: readonly string[]; readonly splitter: Splitter };

/** Connections of the outputs, in order. */
export interface OutputList {
  readonly outputs: readonly DeskOutput[];
  readonly faults: readonly { readonly item: number; readonly fault: string }[];
}

/**
 * Reads what the outputs of the interface are connected to: paths (`1/tape`) or ranges of paths
 * (`1-8/tape`) that stay patched, `hand` for one that is patched as the sheet says, `none` or `-`
 * for an unused one.
 *
 * @param texts in output order
 * @param paths of the desk
 */
export function parseOutputList(texts: readonly string[], paths: readonly DeskPath[]): OutputList {
  const outputs: DeskOutput[] = [];
  const faults: { item: number; fault: string }[] = [];
  texts.forEach((text, item) => {
    const word = normalizeName(text.trim());
    if (word === "hand") outputs.push({ use: "hand" });
    else if (word === "-" || word === "none") outputs.push({ use: "none" });
    else {
      const found = expandPaths(text, paths);
      if (typeof found === "string") faults.push({ item, fault: found });
      else outputs.push(...found.map((path) => ({ use: "wired", path }) as const));
    }
  });
  return { outputs, faults };
}

/** The paths of `1-8/tape`, or what is wrong with it. */
export function expandPaths(text: string, paths: readonly DeskPath[]): readonly string[] | string {
  const at = text.lastIndexOf("/");
  if (at < 0) return `"${text}" is not a path such as 1/tape or 1-8/tape, nor hand or none`;
  const input = normalizeName(text.slice(at + 1).trim());
  const { names, faults } = expandStrips([text.slice(0, at).trim()]);
  if (faults.length > 0) return faults[0].fault;
  const found: string[] = [];
  for (const name of names) {
    const path = paths.find(
      (one) =>
        normalizeName(one.strip) === normalizeName(name) && normalizeName(one.input) === input,
    );
    if (path === undefined) return `the desk has no path ${name}/${text.slice(at + 1).trim()}`;
    found.push(path.path);
  }
  return found;
}

/** `group 1-8` as eight names; any other name as it is. */
export function expandBusName(text: string): readonly string[] {
  const range = /^(.*\D)(\d{1,3})\s*-\s*(\d{1,3})$/.exec(text.trim());
  if (range === null) return [text.trim()];
  const [, word, from, to] = range;
  const count = Number(to) - Number(from) + 1;
  if (count < 1 || count > 64) return [text.trim()];
  return Array.from({ length: count }, (_, k) => `${word}${Number(from) + k}`);
}
