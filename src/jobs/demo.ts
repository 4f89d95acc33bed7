import { DeskroundError } from "../errors.js";
import type { Round } from "../history/types.js";
import type { DemoRequest, OnProgress } from "./types.js";

/** A virtual desk with hidden faults, from signal to round. */
export async function demo(_request: DemoRequest, _onProgress: OnProgress): Promise<Round> {
  throw new DeskroundError("usage", "The virtual desk is not built in yet.");
}
