import type { DeskPath } from "./desk-path.js";
import { normalizeName, validateInputName } from "./names.js";

/**
 * Where a signal enters that bypasses the strips: `insert`, the return of the mix insert, after the
 * summing amplifier; `bus`, a spare input of the mix bus, before it.
 */
export type ReferenceEntry = "insert" | "bus";

/**
 * A path that bypasses all strips, played first and last in a round: it shows bus, interface and
 * drift alone.
 */
export interface ReferencePath {
  /** Its name in file names and maps. */
  readonly name: string;
  readonly into: ReferenceEntry;
  /** Level at the socket when the signal plays at its nominal level, dBu. */
  readonly nominalDbu: number;
  /** Where the plug goes, in the owner's words. */
  readonly plug: string;
  /** How the master is set for it, in the owner's words. */
  readonly setup: string;
  /** Pad between the interface and the socket, dB; 0 for none. */
  readonly padDb: number;
}

/** Its name if the desk file gives none. */
export const defaultReferenceName = "reference";

/** Usual names of the sockets. */
export const referenceSockets: Readonly<Record<ReferenceEntry, string>> = {
  insert: "mix insert return",
  bus: "spare input of the mix bus",
};

/**
 * The reference path in the form used to assign returns: its name is both strip and input. It is
 * not a path of the desk: it has no siblings and is not ranked.
 */
export function toReferenceEntry({ name }: Pick<ReferencePath, "name">): DeskPath {
  return { path: name, strip: name, input: name, family: name };
}

/**
 * Why a text cannot name the reference path, or undefined if it can: files are assigned by the
 * names of strips, inputs and this path.
 */
export function validateReferenceName(
  name: string,
  strips: readonly string[],
  inputs: readonly string[],
): string | undefined {
  const fault = validateInputName(name);
  if (fault !== undefined) return fault;
  const isSame = (one: string) => normalizeName(one) === normalizeName(name);
  if (strips.some(isSame)) return "a strip has this name: file names would be ambiguous";
  if (inputs.some(isSame)) return "an input has this name: file names would be ambiguous";
  return undefined;
}
