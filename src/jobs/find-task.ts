import { type Found, findReturns } from "../capture/find.js";
import type { WavInfo } from "../capture/types.js";
import { openSamples } from "../capture/wav.js";
import type { OnShare } from "./threads.js";

/** Looks through one capture file for returns. */
export function runFindTask(info: WavInfo, onShare: OnShare): Found {
  const reader = openSamples(info);
  try {
    return findReturns(reader, onShare);
  } finally {
    reader.close();
  }
}
