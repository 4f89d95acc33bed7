import type { Desk } from "../../desk/types.js";
import type { ReadCapture } from "../read/read-captures.js";
import { type GroupOptions, groupReturns, type ReturnsByPath } from "./group-returns.js";
import { findStereoBus } from "./stereo-bus.js";

/**
 * Assigns every return to its path, and decides whether the desk was recorded in stereo.
 *
 * @throws DeskroundError `usage`, with the doubts about the captures
 */
export function placeCaptures(
  captures: readonly ReadCapture[],
  desk: Desk,
  options: GroupOptions,
): ReturnsByPath {
  const found = groupReturns(captures, desk, options);
  return { ...found, takes: findStereoBus(found.takes) };
}
