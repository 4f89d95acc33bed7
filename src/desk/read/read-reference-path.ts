import {
  defaultReferenceName,
  type ReferencePath,
  referenceSockets,
  validateReferenceName,
} from "../reference-path.js";
import type { DeskText } from "../schema.js";
import type { DeskFileIssue } from "./fault.js";
import { longestPlug, longestSetup, readLine } from "./read-line.js";

/** Names that the reference path must not have, and the level of the mix output. */
interface KnownOfDesk {
  readonly strips: readonly string[];
  readonly inputs: readonly string[];
  readonly referenceDbu: number;
}

/** Reads the reference path, which bypasses all strips. */
export function readReferencePath(
  written: NonNullable<DeskText["reference-path"]>,
  { strips, inputs, referenceDbu }: KnownOfDesk,
  faults: DeskFileIssue[],
): ReferencePath {
  const { into, name = defaultReferenceName, nominal = referenceDbu, setup, pad } = written;
  const place = ["reference-path"];
  const own = name.normalize("NFC");
  const fault = validateReferenceName(own, strips, inputs);
  if (fault !== undefined) {
    const isGiven = written.name !== undefined;
    faults.push({
      place: isGiven ? [...place, "name"] : place,
      at: isGiven ? "value" : "key",
      message: `the reference path's name "${name}": ${fault}.`,
      hint: "Give it a different name, e.g. name: insert",
    });
  }
  const plug = written.plug ?? referenceSockets[into];
  return {
    name: own,
    into,
    nominalDbu: nominal,
    plug: readLine(plug, longestPlug, [...place, "plug"], faults),
    setup: readLine(setup, longestSetup, [...place, "setup"], faults),
    padDb: pad,
  };
}
