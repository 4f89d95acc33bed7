import { closeSync, openSync, writeSync } from "node:fs";
import { encodeSamples } from "../../src/signal/encode.js";
import type { SittingEvent } from "../../src/sitting/sitting-events.js";
import type { SittingWorld } from "../../src/sitting/sitting-world.js";
import type { SittingCommand } from "../../src/sitting/types.js";
import { header } from "../jobs/recordings.js";

/** What a recorder leaves in a header while it writes. */
export type OpenHeader = "zero" | "all-ones" | "some-time-ago";

/** A recorder that writes 24-bit WAV as time passes, the way recording programs do. */
export interface Recorder {
  /** Writes so many seconds more; false where there is nothing more to write. */
  readonly write: (seconds: number) => boolean;
  /** Once; later calls do nothing. */
  readonly close: () => void;
}

export function startRecorder(
  file: string,
  samples: Float64Array,
  rate: number,
  open: OpenHeader = "all-ones",
): Recorder {
  const handle = openSync(file, "w");
  const length = { zero: 0, "all-ones": 0xffff_ffff - 36, "some-time-ago": 0 }[open];
  writeSync(handle, header(1, 1, rate, 3, length));
  let at = 0;
  let isClosed = false;
  const setLength = (frames: number) => {
    const head = header(1, 1, rate, 3, 3 * frames);
    writeSync(handle, head, 0, head.length, 0);
  };
  return {
    write(seconds) {
      const until = Math.min(samples.length, at + Math.round(seconds * rate));
      if (isClosed || until === at) return false;
      const bytes = encodeSamples(samples.subarray(at, until), "int24");
      writeSync(handle, bytes, 0, bytes.length, 44 + 3 * at);
      if (open === "some-time-ago") setLength(at);
      at = until;
      return true;
    },
    close() {
      if (isClosed) return;
      isClosed = true;
      setLength(at);
      closeSync(handle);
    },
  };
}

/** A world in which time passes only while a sitting waits, and something happens then. */
export function createWorld(
  happens: (turn: number, say: (command: SittingCommand) => void) => void,
) {
  const events: SittingEvent[] = [];
  const commands: SittingCommand[] = [];
  let seconds = 0;
  let turn = 0;
  const world: Omit<SittingWorld, "note" | "formatHeard"> = {
    tell: (event) => events.push(event),
    takeCommands: () => commands.splice(0),
    nowS: () => seconds,
    wait: async () => {
      seconds += 0.5;
      turn++;
      if (turn > 3000) throw new Error("the sitting does not end");
      happens(turn, (command) => commands.push(command));
    },
  };
  const of = <K extends SittingEvent["kind"]>(kind: K) =>
    events.filter((event): event is Extract<SittingEvent, { kind: K }> => event.kind === kind);
  return { world, events, of };
}
