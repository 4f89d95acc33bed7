import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";

/** Below this, reading a round leaves nothing behind that matters, bytes of its file. */
const worthwhile = 4_000_000;

let collect: (() => void) | undefined;

/**
 * Clears away what reading a large round left. V8 would wait until the heap has doubled, and of
 * rounds that are read one after another several would be in memory at once; each clearing takes
 * less than a tenth of the reading.
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
