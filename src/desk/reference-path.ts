import type { DeskPath } from "./desk-path.js";
import { normalizeName, validateInputName } from "./names.js";

/**
 * Where a signal enters that passes no strip: `insert`, the return of the mix insert, after the
 * summing amplifier; `bus`, a spare input of the mix bus, before it.
 */
export type ReferenceEntry = "insert" | "bus";

/** A path past all strips, played first and last in a round: bus, interface and drift on their own. */
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

/** Its name where the desk file gives it none. */
export const defaultReferenceName = "reference";

/** Sockets as the trade calls them. */
export const referenceSockets: Readonly<Record<ReferenceEntry, string>> = {
  insert: "mix insert return",
  bus: "spare input of the mix bus",
};

/**
 * The reference path as returns are assigned to one: by its name, which stands for strip and input
 * alike. It is not a path of the desk: it has no siblings and is not ranked.
 */
export function toReferenceEntry({ name }: Pick<ReferencePath, "name">): DeskPath {
  return { path: name, strip: name, input: name, family: name };
}

/**
 * Why a text cannot name the reference path, or undefined when it can: files are told apart by the
 * names of strips, inputs and this one.
 */
export function validateReferenceName(
  name: string,
  strips: readonly string[],
  inputs: readonly string[],
): string | undefined {
  const fault = validateInputName(name);
  if (fault !== undefined) return fault;
  const isSame = (one: string) => normalizeName(one) === normalizeName(name);
  if (strips.some(isSame)) return "a strip has this name: files could not be told apart";
  if (inputs.some(isSame)) return "an input has this name: files could not be told apart";
  return undefined;
}
