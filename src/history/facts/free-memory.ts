import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";

/** Below this file size, reading a round leaves too little garbage to matter, bytes. */
const worthwhile = 4_000_000;

let collect: (() => void) | undefined;

/**
 * Collects the garbage that reading a large round leaves. V8 would wait until the heap has doubled,
 * so that several rounds read in succession would be in memory at once; each collection takes less
 * than a tenth of the time of the read.
 *
 * @param bytes size of the file that was read
 */
export function freeMemory(bytes: number): void {
  if (bytes < worthwhile) return;
  if (collect === undefined) {
    setFlagsFromString("--expose-gc");
    collect = runInNewContext("gc") as () => void;
  }
  collect();
}
