import { type Found, findReturns, type SearchScope } from "../capture/find.js";
import type { WavInfo } from "../capture/types.js";
import { openSamples } from "../capture/wav.js";
import type { OnShare } from "./threads.js";

/** One capture file to look through, or the files about a joint: plain data. */
export interface FindTask {
  readonly info: WavInfo;
  readonly scope: SearchScope;
}

/** Looks through a capture for returns. */
export function runFindTask({ info, scope }: FindTask, onShare: OnShare): Found {
  const reader = openSamples(info);
  try {
    return findReturns(reader, onShare, scope);
  } finally {
    reader.close();
  }
}
