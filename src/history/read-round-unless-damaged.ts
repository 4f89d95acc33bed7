import { DeskroundError } from "../errors.js";
import { readRound } from "./store.js";
import type { Round } from "./types.js";

/** A stored round; undefined for one that is damaged or withdrawn, where another one will do as well. */
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
