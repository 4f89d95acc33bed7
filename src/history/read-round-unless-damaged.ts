import { DeskroundError } from "../errors.js";
import { readRound } from "./store.js";
import type { Round } from "./types.js";

/** A stored round; undefined if it is damaged or withdrawn, for use where another one will do. */
export async function readRoundUnlessDamaged(
  folder: string,
  id: string,
): Promise<Round | undefined> {
  try {
    return await readRound(folder, id);
  } catch (error) {
    if (error instanceof DeskroundError) return undefined;
    throw error;
  }
}
