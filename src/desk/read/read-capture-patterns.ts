import { parseCapturePatterns } from "../capture-patterns.js";
import { formatAllowedKeys } from "../schema.js";
import type { DeskPath, NamePattern } from "../types.js";
import type { DeskFileIssue } from "./fault.js";

/** Reads the patterns of recordings' names. */
export function readCapturePatterns(
  written: unknown,
  paths: readonly DeskPath[],
  faults: DeskFileIssue[],
): readonly NamePattern[] {
  const list = parseCapturePatterns(written, paths, formatAllowedKeys(["captures"]));
  faults.push(...list.faults.map((one) => ({ ...one, place: ["captures", ...one.place] })));
  return list.patterns;
}
